using SweepRig.Domain.Stock;
using static SweepRig.Domain.Stock.TubeChangeKind;

namespace SweepRig.Domain.Tests.Stock;

public sealed class StockTubeTests
{
    private static readonly DateTimeOffset Now = new(2026, 3, 1, 9, 0, 0, TimeSpan.Zero);

    [Fact]
    public void A_life_in_the_stock()
    {
        var tube = Live((Identified, "EF91"), (Moved, "drawer 3"), (Screened, "sound"), (Graded, "first"), (PutToUse, "tide clock, bit 2"));
        Assert.Equal((TubeState.InUse, "tide clock, bit 2", "first", "drawer 3", "EF91"), (tube.State, tube.InUseAt, tube.Grade, tube.Location, tube.TypeName));
        tube = After(tube, TakenOut, "swapped for a trial");
        Assert.Equal((TubeState.Graded, null), (tube.State, tube.InUseAt));
        tube = After(tube, Retired, "getter is white");
        Assert.Equal(TubeState.Retired, tube.State);
        Assert.Equal(TubeState.Graded, After(tube, Returned, "it was another one").State);
        Assert.Equal([Booked, Identified, Moved, Screened, Graded, PutToUse, TakenOut, Retired], tube.History.Select(h => h.Kind));
    }

    [Theory]
    [InlineData(TubeState.New, Booked, "already-booked")]
    [InlineData(TubeState.New, TakenOut, "tube-not-in-use")]
    [InlineData(TubeState.New, Returned, "not-retired")]
    [InlineData(TubeState.InUse, PutToUse, "tube-in-use")]
    [InlineData(TubeState.Retired, PutToUse, "tube-retired")]
    [InlineData(TubeState.Retired, Screened, "tube-retired")]
    [InlineData(TubeState.Retired, Graded, "tube-retired")]
    [InlineData(TubeState.Retired, Retired, "tube-retired")]
    public void What_cannot_be_is_refused_and_leaves_the_tube_as_it_is(TubeState state, TubeChangeKind kind, string code)
    {
        var tube = state switch
        {
            TubeState.InUse => Live((PutToUse, "adder, carry")),
            TubeState.Retired => Live((Retired, "glass cracked")),
            _ => Live(),
        };
        var refusal = Assert.Single(tube.After(new(kind, "whatever", Now)).Refusals);
        Assert.Equal(code, refusal.Code);
        Assert.Contains("SKUA-014", refusal.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_note_is_always_taken() => Assert.All(Enum.GetValues<TubeState>(), _ => Assert.True(Live((Retired, "dead")).After(new(Noted, "kept for the museum", Now)).IsAccepted));

    [Fact]
    public void Screening_a_graded_tube_again_leaves_its_grade() => Assert.Equal(TubeState.Graded, Live((Graded, "first"), (Screened, "sound")).State);

    [Theory]
    [InlineData("")]
    [InlineData("  ")]
    [InlineData("two\nlines")]
    public void A_change_without_a_line_of_text_is_refused(string text) => Assert.Equal("bad-text", Assert.Single(Live().After(new(Noted, text, Now)).Refusals).Code);

    [Theory]
    [InlineData("Skua", "SKUA")]
    [InlineData("Coast radio, second box", "COASTRADIOSE")]
    [InlineData("No. 7", "NO7")]
    [InlineData("***", null)]
    public void A_name_gives_a_prefix(string name, string? prefix) => Assert.Equal(prefix, Lot.PrefixOf(name));

    [Theory]
    [InlineData(1, "SKUA-001")]
    [InlineData(1234, "SKUA-1234")]
    public void Numbers_have_three_digits_or_more(int ordinal, string label) => Assert.Equal(label, Of("SKUA").Label(ordinal));

    [Theory]
    [InlineData("", "SKUA", "bad-lot")]
    [InlineData("Skua", "", "bad-prefix")]
    [InlineData("Skua", "skua", "bad-prefix")]
    [InlineData("Skua", "SKUA-1", "bad-prefix")]
    public void A_bad_lot_is_refused(string name, string prefix, string code) => Assert.Equal(code, Assert.Single((Of(prefix) with { Name = name }).Faults()).Code);

    private static Lot Of(string prefix) => new("Skua", prefix, null, null, null, null, Now);

    private static StockTube Live(params (TubeChangeKind Kind, string Text)[] changes) =>
        changes.Aggregate(StockTube.Booked("SKUA-014", "Skua", Now), (tube, c) => After(tube, c.Kind, c.Text));

    private static StockTube After(StockTube tube, TubeChangeKind kind, string text)
    {
        var after = tube.After(new(kind, text, Now));
        Assert.Empty(after.Refusals);
        return after.Value!;
    }
}
