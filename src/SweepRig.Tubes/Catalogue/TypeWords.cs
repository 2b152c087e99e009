using SweepRig.Domain.Plans.Reading;

namespace SweepRig.Tubes.Catalogue;

/// <summary>The words that the document of a type has for kinds, limits, rating systems and confidences.</summary>
public static class TypeWords
{
    public static readonly Words<TubeKind> Kinds = new(
        ("sharp-cutoff-pentode", TubeKind.SharpCutoffPentode), ("remote-cutoff-pentode", TubeKind.RemoteCutoffPentode), ("power-pentode", TubeKind.PowerPentode),
        ("triode", TubeKind.Triode), ("double-triode", TubeKind.DoubleTriode), ("triode-pentode", TubeKind.TriodePentode), ("pentagrid", TubeKind.Pentagrid),
        ("diode", TubeKind.Diode), ("gas-filled", TubeKind.GasFilled));

    public static readonly Words<RatingKind> Limits = new(
        ("plate-volts", RatingKind.PlateVoltage), ("plate-watts", RatingKind.PlateDissipation), ("screen-volts", RatingKind.ScreenVoltage),
        ("screen-supply-volts", RatingKind.ScreenSupply), ("screen-watts", RatingKind.ScreenDissipation), ("cathode-milliamperes", RatingKind.CathodeCurrent),
        ("heater-cathode-volts", RatingKind.HeaterCathodeVoltage));

    public static readonly Words<RatingSystem> Systems = new(
        ("not-stated", RatingSystem.NotStated), ("design-centre", RatingSystem.DesignCentre), ("design-maximum", RatingSystem.DesignMaximum),
        ("absolute-maximum", RatingSystem.AbsoluteMaximum));

    public static readonly Words<Confidence> Confidences = new(
        ("from-memory", Confidence.FromMemory), ("from-memory-sure", Confidence.FromMemorySure), ("secondary-source", Confidence.SeenInSecondarySource),
        ("makers-sheet", Confidence.MakersSheet));

    /// <summary>The unit that tables print for a limit.</summary>
    public static string UnitOf(RatingKind? kind) => kind switch
    {
        RatingKind.PlateDissipation or RatingKind.ScreenDissipation => "W",
        RatingKind.CathodeCurrent => "mA",
        _ => "V",
    };

    /// <summary>One word for each value.</summary>
    public sealed class Words<T>(params (string Word, T Value)[] pairs)
        where T : struct, Enum
    {
        public IReadOnlyList<string> All { get; } = [.. pairs.Select(p => p.Word)];

        /// <summary>The word for a value.</summary>
        public string Word(T value) => pairs.First(p => EqualityComparer<T>.Default.Equals(p.Value, value)).Word;

        /// <summary>Null, and a fault, when the word is missing or unknown.</summary>
        public T? Read(ObjectReader reader, string key) => reader.Word(key, [.. All]) is { } word ? pairs.First(p => p.Word == word).Value : null;
    }
}
