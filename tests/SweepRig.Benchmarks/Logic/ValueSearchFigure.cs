using System.Diagnostics;
using System.Globalization;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Search;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;

namespace SweepRig.Benchmarks.Logic;

/// <summary>Three resistors in E24 for every tube of a lot of sixty, beside trying every combination with every tube on a part of the space.</summary>
public static class ValueSearchFigure
{
    public static Task<FigureLine> MeasureAsync()
    {
        var heater = new Volts(6.3);
        List<TubePart> tubes = [.. new LotSpread().Draw(ExampleTubes.Sound6AU6, seed: 60, count: 60).Select((p, n) => new TubePart($"V{n}", "p", "s", "g", "0", new TubeModel(p, heater)))];
        SearchOrder Order(double plateHigh, double dividerLow, double dividerHigh) => new(new(28, -14, 6.3), new(), tubes, 1,
            PreferredValues.Between(PreferredSeries.E24, 4_700, plateHigh), PreferredValues.Between(PreferredSeries.E24, dividerLow, dividerHigh),
            PreferredValues.Between(PreferredSeries.E24, dividerLow, dividerHigh), new(GridAmps: 100e-6, PlateWatts: 0.5));

        // Part of the space, small enough to try everything in it.
        var part = Order(8_200, 82_000, 150_000);
        var bench = new SearchBench(part);
        int[] all = [.. Enumerable.Range(0, tubes.Count)];
        var clock = Stopwatch.StartNew();
        var exhaustive = (from p in part.Plate from u in part.Upper from l in part.Lower let values = new StageResistors(p, u, l) let found = bench.Measure(values, all)
            where part.Limits.Broken(found.Burden) is null orderby found.Margin descending select (values, found.Margin)).First();
        var tried = clock.Elapsed.TotalSeconds;
        clock.Restart();
        var searched = ValueSearch.Run(part).Value!;
        var ratio = tried / clock.Elapsed.TotalSeconds;
        var equal = searched.Best == exhaustive.values && searched.MarginVolts == exhaustive.Margin;

        clock.Restart();
        var whole = ValueSearch.Run(Order(47_000, 47_000, 470_000)).Value!;
        var seconds = clock.Elapsed.TotalSeconds;
        return Task.FromResult(new FigureLine(
            "value-search",
            string.Create(CultureInfo.InvariantCulture, $"{seconds:0.0} s for {whole.Looked} combinations and {tubes.Count} tubes, margin {whole.MarginVolts:0.00} V"),
            "< 10 s, equal to exhaustive search",
            string.Create(CultureInfo.InvariantCulture, $"trying all {part.Plate.Count * part.Upper.Count * part.Lower.Count} of a part with all tubes, {ratio:0.0} times slower, {(equal ? "the same values" : "OTHER values")}"),
            equal && seconds < 10));
    }
}
