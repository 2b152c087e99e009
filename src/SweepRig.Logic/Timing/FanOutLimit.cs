using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Search;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Timing;

/// <summary>What one stage more takes the margin away by.</summary>
public enum FanOutEnd
{
    /// <summary>Nothing: all that were tried are fed.</summary>
    None,

    /// <summary>The dividers of the loads pull the high level down.</summary>
    Level,

    /// <summary>The grid current of the loads does: without it the margin would be there.</summary>
    GridCurrent,
}

/// <summary>How many stages like itself a stage can feed.</summary>
/// <param name="Most">Stages with which the worst margin is still that wanted.</param>
/// <param name="MarginVolts">With that many.</param>
/// <param name="NextMarginVolts">With one more; null when that was not tried.</param>
/// <param name="EndedBy">What takes it away.</param>
public sealed record FanOutLimit(int Most, double MarginVolts, double? NextMarginVolts, FanOutEnd EndedBy)
{
    /// <summary>More than these nobody wires to one plate.</summary>
    public const int MostTried = 64;

    private const int Points = 57;

    /// <param name="tubes">Any of which may stand anywhere; the margin is that of the worst.</param>
    /// <param name="wantedVolts">Margin that must be there, 0 V or above.</param>
    /// <returns>Refused when not even one stage can be fed.</returns>
    /// <exception cref="ArgumentException">No tubes, or a negative margin.</exception>
    public static Outcome<FanOutLimit> Find(GateRails rails, StageValues values, IReadOnlyList<TubePart> tubes, double wantedVolts, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(rails);
        ArgumentNullException.ThrowIfNull(values);
        ArgumentNullException.ThrowIfNull(tubes);
        ArgumentOutOfRangeException.ThrowIfNegative(wantedVolts);
        if (tubes.Count == 0) throw new ArgumentException("A stage needs a tube.", nameof(tubes));
        var known = new Dictionary<int, double>();
        double With(int loads)
        {
            cancel.ThrowIfCancellationRequested();
            return known.TryGetValue(loads, out var margin) ? margin : known[loads] = Margin(rails, values, tubes, loads);
        }
        bool Fed(int loads) => With(loads) is > 0 and var margin && margin >= wantedVolts;
        if (!Fed(1))
        {
            return Outcome<FanOutLimit>.Refuse(new Refusal("margin-too-small", "", $"a stage that feeds one other has a margin of {Engineering.Format(With(1), "V", 3)}",
                $"{Engineering.Format(wantedVolts, "V", 3)} is wanted", "Ask for less, search other values, or leave out the weakest tubes."));
        }
        var (fed, unfed) = (1, 2);
        while (unfed <= MostTried && Fed(unfed)) (fed, unfed) = (unfed, 2 * unfed);
        if (unfed > MostTried) return Outcome<FanOutLimit>.Accept(new(fed, With(fed), null, FanOutEnd.None));
        while (unfed - fed > 1)
        {
            var middle = (fed + unfed) / 2;
            if (Fed(middle)) fed = middle;
            else unfed = middle;
        }
        // Whether grid current is to blame is seen by taking it away.
        var without = Margin(rails, values, [.. tubes.Select(WithoutGridCurrent)], unfed);
        return Outcome<FanOutLimit>.Accept(new(fed, With(fed), With(unfed), without > 0 && without >= wantedVolts ? FanOutEnd.GridCurrent : FanOutEnd.Level));
    }

    private static double Margin(GateRails rails, StageValues values, IReadOnlyList<TubePart> tubes, int loads)
    {
        var order = new SearchOrder(rails, values, [.. tubes.Select(t => t with { Number = null })], loads, [values.PlateOhms], [values.UpperOhms], [values.LowerOhms], new()) { Points = Points };
        return new SearchBench(order).Measure(new(values.PlateOhms, values.UpperOhms, values.LowerOhms), [.. Enumerable.Range(0, tubes.Count)]).Margin;
    }

    private static TubePart WithoutGridCurrent(TubePart tube) =>
        tube with { Model = TubeModel.AtTemperature(tube.Model.Parameters with { GridShare = 0, GasRatio = 0 }, tube.Model.TemperatureKelvin) };
}
