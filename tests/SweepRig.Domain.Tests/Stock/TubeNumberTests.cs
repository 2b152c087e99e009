using SweepRig.Domain.Stock;

namespace SweepRig.Domain.Tests.Stock;

public sealed class TubeNumberTests
{
    [Theory]
    [InlineData("SKUA-014", "SKUA-014", null)]
    [InlineData(" skua-014\r\n", "SKUA-014", null)]
    [InlineData("SKUA - 014", "SKUA-014", null)]
    [InlineData("skua-014/2\r", "SKUA-014", 2)]
    [InlineData("SKUA-014/0", "SKUA-014/0", null)]
    [InlineData("SKUA-014/9", "SKUA-014/9", null)]
    [InlineData("/2", "/2", null)]
    public void What_a_scanner_or_a_person_gives_is_the_number(string typed, string label, int? section) => Assert.Equal(new TubeNumber(label, section), TubeNumber.Of(typed));

    [Fact]
    public void Runs_of_a_tube_are_kept_under_its_number_and_those_of_its_sections() =>
        Assert.Equal(["TERN-001", "TERN-001/1", "TERN-001/2", "TERN-001/3"], TubeNumber.AllOf("TERN-001"));

    [Theory]
    [InlineData("SKUA-014", 14)]
    [InlineData("SKUA-1014", 1014)]
    [InlineData("SKUA-14", null)]
    [InlineData("SKUA-0014", null)]
    [InlineData("SKUA-000", null)]
    [InlineData("SKUA-10000", null)]
    [InlineData("TERN-014", null)]
    [InlineData("SKUA-01A", null)]
    [InlineData("SKUA", null)]
    public void A_lot_knows_its_own_numbers(string label, int? ordinal) => Assert.Equal(ordinal, new Lot("Skua", "SKUA", null, null, null, null, DateTimeOffset.UnixEpoch).OrdinalOf(label));
}
