namespace SweepRig.Analysis.Studies;

/// <summary>Whether a reference sweep is the sweep that it was.</summary>
/// <param name="Shift">Shift of the grid that would make the difference, V; negative for a tube that has lost.</param>
/// <param name="Scale">Relative change of the current besides that, %.</param>
/// <param name="Chance">Of so much shift and change in a tube that has not changed, 0 to 1.</param>
/// <param name="ShapeChance">Of so much left over besides them, 0 to 1.</param>
/// <param name="FalseAlarms">Share of checks of an unchanged tube that fail, at most.</param>
public sealed record RepeatCheck(Figure Shift, Figure Scale, double Chance, double ShapeChance, double FalseAlarms)
{
    /// <summary>Both tests share the false alarms.</summary>
    public bool Repeats => Chance >= FalseAlarms / 2 && ShapeChance >= FalseAlarms / 2;
}
