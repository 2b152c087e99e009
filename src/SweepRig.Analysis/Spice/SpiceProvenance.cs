namespace SweepRig.Analysis.Spice;

/// <summary>Where the constants of a subcircuit come from and where they hold; written into its comments.</summary>
/// <param name="Tube">What it stands for, for example <c>tube SKUA-014, type 6AU6, lot Skua</c>.</param>
/// <param name="Origin">How the constants were found, for example <c>fitted to runs 12 and 13</c> or <c>illustrative example of the catalogue</c>.</param>
public sealed record SpiceProvenance(string Tube, string Origin)
{
    /// <summary>Each a sentence: rig, calibration, date of the runs, quality of the fit, constants that the data could not determine.</summary>
    public IReadOnlyList<string> Notes { get; init; } = [];

    /// <summary>Each a range that the data covered, for example <c>drive -14 V to 24 V</c>. Outside, the subcircuit extrapolates.</summary>
    public IReadOnlyList<string> Validity { get; init; } = [];

    internal void Write(SpiceText text)
    {
        text.Comment(Tube);
        text.Comment("Origin: " + Origin);
        foreach (var note in Notes) text.Comment(note);
        text.Comment(Validity.Count == 0 ? "Validity: no range is known; nothing here was measured." : "Valid for " + string.Join("; ", Validity) + ". Outside, it extrapolates.");
    }
}
