using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Stock;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Fits;
using SweepRig.Service.Stock;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Tests.Stock;

public sealed class StockedTubeTests : IAsyncLifetime
{
    private readonly TemporaryData _data = new();
    private RunStore _runs = null!;
    private StockStore _stock = null!;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        _runs = await RunStore.OpenAsync(_data.Path, TimeProvider.System, NullLogger<RunStore>.Instance, Cancellation);
        _stock = new(_runs, TimeProvider.System);
        await _stock.BookAsync(new("Skua", "SKUA", "EF91", null, null, null, DateTimeOffset.UnixEpoch), 3, null, Cancellation);
        await _stock.BookAsync(new("Tern", "TERN", "12AX7", null, null, null, DateTimeOffset.UnixEpoch), 1, null, Cancellation);
        await _stock.BookAsync(new("Petrel", "PETREL", null, null, null, null, DateTimeOffset.UnixEpoch), 1, null, Cancellation);
    }

    public async ValueTask DisposeAsync()
    {
        await _runs.DisposeAsync();
        _data.Dispose();
    }

    [Fact]
    public async Task Type_and_lot_come_from_the_stock_for_what_a_scanner_sends()
    {
        var tube = await FoundAsync(" skua-002\r");
        Assert.Equal(new Tube("SKUA-002", "EF91", "Skua"), tube.Tube);
        Assert.Empty(tube.Remarks);
    }

    [Fact]
    public async Task What_is_said_counts_and_a_disagreement_is_remarked()
    {
        var tube = await FoundAsync("SKUA-002", "6AU6", "Petrel");
        Assert.Equal(new Tube("SKUA-002", "6AU6", "Petrel"), tube.Tube);
        Assert.Equal(2, tube.Remarks.Count);
        Assert.Contains("The stock says that SKUA-002 is an EF91, and 6AU6 was said", tube.Remarks[0], StringComparison.Ordinal);
        Assert.Contains("The stock has SKUA-002 in lot Skua, and lot Petrel was said", tube.Remarks[1], StringComparison.Ordinal);
        // Another name of the same type is no disagreement.
        Assert.Empty((await FoundAsync("SKUA-002", "6am6")).Remarks);
    }

    [Fact]
    public async Task Tubes_that_should_be_elsewhere_are_remarked()
    {
        await _stock.ChangeAsync("SKUA-001", TubeChangeKind.PutToUse, "tide clock", Cancellation);
        await _stock.ChangeAsync("SKUA-003", TubeChangeKind.Retired, "cracked", Cancellation);
        Assert.Contains("in use at tide clock", Assert.Single((await FoundAsync("SKUA-001")).Remarks), StringComparison.Ordinal);
        Assert.Contains("is retired: cracked", Assert.Single((await FoundAsync("SKUA-003")).Remarks), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("GULL-001", "book the tube in")]
    [InlineData("PETREL-001", "sweeprig stock identify PETREL-001 TYPE")]
    public async Task Without_a_type_anywhere_it_is_asked_for(string number, string remedy)
    {
        var refusal = Assert.Single((await StockedTube.OfAsync(_stock, TypeCatalogue.BuiltIn, number, null, null, Cancellation)).Refusals);
        Assert.Equal("type-missing", refusal.Code);
        Assert.Contains(remedy, refusal.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_tube_that_the_stock_does_not_have_keeps_its_label_as_written() =>
        Assert.Equal(new Tube("gull 7b", "6AU6"), (await FoundAsync("gull 7b", "6AU6")).Tube);

    [Fact]
    public async Task Each_section_of_a_double_triode_is_swept_and_judged_for_itself()
    {
        Assert.Contains("12AX7 has 2 sections, and none was said", Assert.Single((await FoundAsync("TERN-001")).Remarks), StringComparison.Ordinal);
        var second = await FoundAsync("tern-001/2");
        Assert.Equal(("TERN-001/2", 2, "TERN-001"), (second.Tube.Label, second.Tube.Section, second.Known!.Label));
        Assert.Contains("Section 2 is the triode b: p on pin 1, g1 on pin 2, k on pin 3.", Assert.Single(second.Remarks), StringComparison.Ordinal);

        var plan = PlanExamples.GentlePentode.Plan with { Connection = PlanExamples.GentlePentode.Plan.Connection with { Kind = ConnectionKind.Triode } };
        foreach (var (label, perveance) in new[] { ("TERN-001/1", 1.0), ("TERN-001/2", 0.7) })
            await new ModelledRun(plan) { Label = new(label, "12AX7", "Tern"), Tube = ExampleTubes.Sound6AU6 with { Perveance = perveance * ExampleTubes.Sound6AU6.Perveance } }.StoreAsync(_runs);
        Assert.Equal(["TERN-001/1", "TERN-001/2"], (await _runs.OfTubeAsync("TERN-001", Cancellation)).Select(r => r.Header.Tube.Label).Order(StringComparer.Ordinal));
        using var workbench = new Workbench();
        var shelf = new FigureShelf(workbench);
        var figures = (await shelf.ReadAsync(_runs, "TERN-001", FigureSources.Levels, Cancellation)).Figures;
        Assert.False(figures.ContainsKey("triode.vol"));
        Assert.Equal(figures["triode.vol/2"], (await shelf.ReadAsync(_runs, "TERN-001/2", FigureSources.Levels, Cancellation)).Figures["triode.vol"]);
        Assert.Equal(figures["triode.vol/2"], Assert.Single(await shelf.HistoryAsync(_runs, "TERN-001", "triode.vol/2", 9, Cancellation)).Figure);
        Assert.True(figures["triode.vol/2"].Value > 1.1 * figures["triode.vol/1"].Value, $"{figures["triode.vol/1"]} {figures["triode.vol/2"]}");
        Assert.Equal("triode.vol/2", StockQuantities.Find("triode.vol/2", "").Value!.Word);
    }

    private async Task<StockedTube> FoundAsync(string typed, string? type = null, string? lot = null) =>
        (await StockedTube.OfAsync(_stock, TypeCatalogue.BuiltIn, typed, type, lot, Cancellation)).Value!;
}
