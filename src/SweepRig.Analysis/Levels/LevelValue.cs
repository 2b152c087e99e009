using SweepRig.Domain.Measurement;

namespace SweepRig.Analysis.Levels;

/// <summary>A level before it becomes a figure: the number and everything that it owes its uncertainty to.</summary>
/// <param name="Value">In <paramref name="Unit"/>.</param>
/// <param name="Unit">SI symbol.</param>
/// <param name="Scatter">Standard uncertainty by the scatter of the readings, in the unit.</param>
/// <param name="First">First point it leans on; -1 for none.</param>
/// <param name="Last">Last point.</param>
/// <param name="Systematic">What the calibration does to it.</param>
internal sealed record LevelValue(double Value, string Unit, double Scatter, int First, int Last, params FigureTerm[] Systematic)
{
    /// <summary>Half width of what the drive steps, or a choice between places alike, leave open; rectangular, in the unit.</summary>
    public double HalfWidth { get; init; }

    /// <summary>Change of the level with an error that all plate readings near it share by the resolution of the converter, in the unit per volt.</summary>
    public double PerPlateVolt { get; init; }

    /// <summary>Further independent standard uncertainty with a name of its own, for the budget.</summary>
    public (string Name, double Uncertainty)? Other { get; init; }

    /// <summary>The point that it lies at, for the resolution of its reading.</summary>
    public int At { get; init; } = First;

    public string? Mark { get; init; }
}
