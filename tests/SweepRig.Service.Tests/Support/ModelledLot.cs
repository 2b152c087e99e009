using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Stock;
using SweepRig.Storage;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;

namespace SweepRig.Service.Tests.Support;

/// <summary>A lot of drawn tubes in the stock, each swept once; the last one is not swept, and the one before it retired.</summary>
internal static class ModelledLot
{
    public static async Task StoreAsync(string directory, int tubes, string name = "Skua")
    {
        var cancellation = TestContext.Current.CancellationToken;
        await using var runs = await RunStore.OpenAsync(directory, TimeProvider.System, NullLogger<RunStore>.Instance, cancellation);
        var stock = new StockStore(runs, TimeProvider.System);
        var lot = new Lot(name, Lot.PrefixOf(name)!, "6AU6", "coast radio station", "40 EUR", null, Examples.Started);
        Assert.True((await stock.BookAsync(lot, tubes, "drawer 3", cancellation)).IsAccepted);
        var drawn = TubeLot.Draw(new(name, ExampleTubes.Sound6AU6, tubes, 0), seed: 7).Tubes;
        for (var i = 0; i < tubes - 1; i++) await Run(drawn[i], lot, i).StoreAsync(runs);
        Assert.True((await stock.ChangeAsync(lot.Label(tubes - 1), TubeChangeKind.Retired, "getter is white", cancellation)).IsAccepted);
    }

    /// <param name="share">Of the current of a sound tube.</param>
    public static SweepRig.Tubes.Model.TubeParameters Weaker(double share) => ExampleTubes.Sound6AU6 with { Perveance = ExampleTubes.Sound6AU6.Perveance * share };

    public static ModelledRun Run(LotTube tube, Lot lot, int place) => new(PlanExamples.GentlePentode)
    {
        Label = new(lot.Label(place + 1), "6AU6", lot.Name),
        Tube = tube.Specimen.Parameters,
        Seed = place,
    };
}
