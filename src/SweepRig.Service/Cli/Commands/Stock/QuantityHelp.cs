using SweepRig.Analysis.Health;
using SweepRig.Analysis.Levels;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Live;
using SweepRig.Service.Stock;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>The words for quantities, as the help of every command that takes them lists them.</summary>
public static class QuantityHelp
{
    /// <summary>Levels stand once for all connections.</summary>
    public static IReadOnlyList<string> Lines { get; } = [.. Make()];

    private static IEnumerable<string> Make()
    {
        yield return "Quantities:";
        yield return $"  Levels of the newest sweep in a connection: {string.Join(" or ", Enum.GetValues<ConnectionKind>().Select(k => $"{BenchViews.Word(k)}.WORD"))}, with WORD";
        foreach (var level in NamedLevels.All) yield return Line(level.Word, level.Unit, level.Meaning);
        yield return "  Constants fitted to those sweeps together (takes some seconds a tube)";
        foreach (var constant in StockQuantities.All.Where(q => q.Word.StartsWith(StockQuantities.FitPrefix, StringComparison.Ordinal))) yield return Line(constant.Word, constant.Unit, constant.Meaning);
        yield return "  Figures of the newest screening";
        foreach (var health in HealthQuantities.All) yield return Line(StockQuantities.HealthPrefix + health.Word, health.Unit, health.Meaning);
        yield return "  Of a double tube each section by itself, for example triode.vol/2";
        yield return "";
    }

    private static string Line(string word, string unit, string meaning) => $"    {word,-33} {(unit == "1" ? "" : unit),-8} {meaning}".TrimEnd();
}
