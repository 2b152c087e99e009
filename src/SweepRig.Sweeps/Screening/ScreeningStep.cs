using SweepRig.Domain.Screening;
using SweepRig.Domain.Tubes;

namespace SweepRig.Sweeps.Screening;

/// <summary>Evenly spaced drives; one drive held when both ends are the same.</summary>
/// <param name="Points">1 or more.</param>
public sealed record DriveRun(double FromVolts, double ToVolts, int Points)
{
    public static DriveRun Hold(double volts, int points) => new(volts, volts, points);
}

/// <summary>What the rig is to do in one step of the screening program: one pass, never above 0 V.</summary>
/// <param name="Title">For people.</param>
/// <param name="HeaterVolts">Null for off.</param>
/// <param name="PlateRailVolts">Null for off.</param>
/// <param name="Drives">In turn.</param>
/// <param name="DwellMicroseconds">Before each sample.</param>
/// <param name="Conversions">Averaged in each sample.</param>
public sealed record ScreeningStep(
    ScreeningStepKind Kind, string Title, double? HeaterVolts, double? PlateRailVolts, IReadOnlyList<DriveRun> Drives, int DwellMicroseconds, int Conversions)
{
    public int Points => Drives.Sum(d => d.Points);
}

/// <param name="ScreeningId">The same for all steps of one screening.</param>
/// <param name="Fixture">Resistors and kind of connection.</param>
/// <param name="Socket">From 0.</param>
public sealed record ScreeningRequest(string ScreeningId, ScreeningStep Step, Tube Tube, Connection Fixture, int Socket)
{
    /// <summary>The study that it is a run of, and then of no screening; null for a step of a screening.</summary>
    public Domain.Studies.StudyTag? Study { get; init; }
}
