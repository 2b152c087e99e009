using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Catalogue;

/// <summary>
/// Example constants for the simulated bench. Illustrative: fitted to a few data-sheet points that are quoted from memory, and to what
/// small pentodes do on a 24 V rail. Salvaged tubes differ from them by more than they differ from each other.
/// </summary>
public static class ExampleTubes
{
    /// <summary>A sound tube in the manner of a 6AU6.</summary>
    public static TubeParameters Sound6AU6 { get; } = new()
    {
        Perveance = 2.85e-3,
        ScreenMu = 44.2,
        PlateMu = 12700,
        GridOffset = 0.636,
        CutoffSpread = 5.22e-3,
        GridShare = 0.40,
        GridOnset = 0.30,
        GridSpaceLimit = 1.93e-4,
        PlateShare = 2.41,
        PlateShareSlope = 0.055,
        PlateSpaceLimit = 2.24e-4,
        FoldBackCurrent = 23.9e-3,
        Emission = 0.120,
    };

    /// <summary>A sound tube in the manner of a 6BH6.</summary>
    public static TubeParameters Sound6BH6 { get; } = new()
    {
        Perveance = 4.10e-3,
        ScreenMu = 79.3,
        PlateMu = 6260,
        GridOffset = 0.617,
        CutoffSpread = 8.47e-3,
        GridShare = 0.40,
        GridOnset = 0.30,
        GridSpaceLimit = 1.92e-4,
        PlateShare = 2.54,
        PlateShareSlope = 0.037,
        PlateSpaceLimit = 2.23e-4,
        FoldBackCurrent = 25.2e-3,
        Emission = 0.080,
    };

    // The types below: space-charge limits, fold-back and grid current taken over from the 6AU6, for no table speaks of them.

    /// <summary>A sound tube in the manner of a 6CB6.</summary>
    public static TubeParameters Sound6CB6 { get; } = Sound6AU6 with
    {
        Perveance = 4.75e-3,
        ScreenMu = 45.4,
        PlateMu = 5950,
        GridOffset = 0.629,
        CutoffSpread = 7.09e-3,
        PlateShare = 3.35,
        PlateShareSlope = 0.048,
    };

    /// <summary>A sound tube in the manner of a 6AK5.</summary>
    public static TubeParameters Sound6AK5 { get; } = Sound6AU6 with
    {
        Perveance = 4.90e-3,
        ScreenMu = 45.4,
        PlateMu = 4100,
        GridOffset = 0.629,
        CutoffSpread = 10.25e-3,
        PlateShare = 3.06,
        PlateShareSlope = 0.071,
        // A smaller structure: a little less of what no table speaks of.
        GridSpaceLimit = 1.83e-4,
        PlateSpaceLimit = 2.13e-4,
        Emission = 0.070,
    };

    /// <summary>A sound tube in the manner of an EF91.</summary>
    public static TubeParameters SoundEF91 { get; } = Sound6AU6 with
    {
        Perveance = 6.89e-3,
        ScreenMu = 89.5,
        PlateMu = 11_300,
        GridOffset = 0.423,
        CutoffSpread = 4.03e-3,
        PlateShare = 3.85,
        PlateShareSlope = 0.042,
    };

    /// <summary>A sound tube in the manner of an EF80.</summary>
    public static TubeParameters SoundEF80 { get; } = Sound6AU6 with
    {
        Perveance = 5.03e-3,
        ScreenMu = 57.1,
        PlateMu = 6010,
        GridOffset = 0.780,
        CutoffSpread = 4.02e-3,
        PlateShare = 3.81,
        PlateShareSlope = 0.050,
    };

    /// <summary>A worn 6AU6: a tenth of the emission, less perveance, a trace of gas.</summary>
    public static TubeParameters Weak6AU6 { get; } = Sound6AU6 with
    {
        Perveance = 2.28e-3,
        GridOffset = 0.400,
        Emission = 0.012,
        GasRatio = 2e-4,
    };

    /// <summary>Constants of the type of that name or alias; null where there are none. They come with the project alone, for no table gives them.</summary>
    public static TubeParameters? Find(string type) => TypeCatalogue.BuiltIn.Find(type)?.Example;

    /// <summary>Constants in the manner of a type; null where there are none.</summary>
    public static TubeParameters? Of(string type) => type switch
    {
        "6AU6" => Sound6AU6,
        "6BH6" => Sound6BH6,
        "6CB6" => Sound6CB6,
        "6AK5" => Sound6AK5,
        "EF91" => SoundEF91,
        "EF80" => SoundEF80,
        _ => null,
    };
}
