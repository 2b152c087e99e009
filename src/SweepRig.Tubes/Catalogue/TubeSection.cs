namespace SweepRig.Tubes.Catalogue;

/// <summary>One system of a double or mixed tube, which is swept and judged for itself.</summary>
/// <param name="Number">From 1; written behind the number of the tube, as in <c>SKUA-014/2</c>.</param>
/// <param name="Name">What it is.</param>
/// <param name="Pins">Its electrodes, each with its pin; those that it shares with the other belong to both.</param>
public sealed record TubeSection(int Number, string Name, IReadOnlyList<(string Electrode, int Pin)> Pins)
{
    /// <summary>Sections of a type, by their mark in the basing; none for a tube of one system. Beside a triode the other system is 1.</summary>
    public static IReadOnlyList<TubeSection> Of(TubeType type)
    {
        ArgumentNullException.ThrowIfNull(type);
        string[] electrodes = [.. type.Basing.Pins.SelectMany(p => p.Split('+'))];
        return type.Kind switch
        {
            TubeKind.DoubleTriode => [One(1, "triode a", e => IsMarked(e, 'a') || e == "k"), One(2, "triode b", e => IsMarked(e, 'b') || e == "k")],
            TubeKind.TriodePentode => [One(1, "pentode", e => IsMarked(e, 'p') || e == "k"), One(2, "triode", e => IsMarked(e, 't') || e == "k")],
            TubeKind.Pentagrid when electrodes.Any(e => IsMarked(e, 't')) => [One(1, "pentagrid", e => !IsMarked(e, 't')), One(2, "triode", e => IsMarked(e, 't') || e == "k")],
            _ => [],
        };

        TubeSection One(int number, string name, Func<string, bool> isMine) =>
            new(number, name, [.. type.Basing.Pins.SelectMany((pin, i) => pin.Split('+').Where(e => !Common.Contains(e) && isMine(e)).Select(e => (Bare(e), i + 1)))]);
    }

    private static readonly string[] Common = ["h", "ht", "f", "nc", "ic", "s"];

    // "p" alone is a plate without a mark, "pp" that of the pentode; "ht" is the tap of a heater.
    private static bool IsMarked(string electrode, char mark) => electrode.Length > 1 && electrode[^1] == mark && electrode != "ht";

    private static string Bare(string electrode) => electrode.Length > 1 && char.IsAsciiLetter(electrode[^1]) ? electrode[..^1] : electrode;
}
