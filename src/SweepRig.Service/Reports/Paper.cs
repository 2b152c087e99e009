namespace SweepRig.Service.Reports;

/// <summary>A sheet. Unit: points of 1/72 inch.</summary>
/// <param name="Name">As it is asked for.</param>
public sealed record Paper(string Name, float Width, float Height)
{
    /// <summary>210 mm by 297 mm (ISO 216).</summary>
    public static Paper A4 { get; } = new("a4", 595.276f, 841.890f);

    /// <summary>8.5 inch by 11 inch.</summary>
    public static Paper Letter { get; } = new("letter", 612, 792);

    public static IReadOnlyList<Paper> All { get; } = [A4, Letter];

    /// <summary>A4 when nothing is asked for; null when it is not known.</summary>
    public static Paper? Find(string? name) => name is null ? A4 : All.FirstOrDefault(p => p.Name.Equals(name.Trim(), StringComparison.OrdinalIgnoreCase));
}
