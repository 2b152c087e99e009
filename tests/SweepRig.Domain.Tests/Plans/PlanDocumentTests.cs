using System.Text.Json;
using CsCheck;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Tubes;

namespace SweepRig.Domain.Tests.Plans;

public sealed class PlanDocumentTests
{
    public static TheoryData<string> BadNames => [.. BadDocuments.All.Keys];

    public static TheoryData<string> ExampleNames => [.. PlanExamples.All.Select(e => e.Name)];

    [Theory]
    [MemberData(nameof(ExampleNames))]
    public void An_example_reads_back_as_it_was_written(string name)
    {
        var plan = PlanExamples.Find(name)!.Plan;
        var outcome = PlanDocument.Parse(PlanDocument.Write(plan));
        Assert.Empty(outcome.Refusals);
        Assert.Equal(plan, outcome.Value);
    }

    [Theory]
    [MemberData(nameof(BadNames))]
    public void A_bad_document_is_refused_with_code_and_path(string name)
    {
        var expected = BadDocuments.All[name];
        var outcome = PlanDocument.Parse(BadDocuments.Text(name));
        Assert.False(outcome.IsAccepted);
        Assert.Contains(outcome.Refusals, r => r.Code == expected.Code && r.Path == expected.Path);
        Assert.All(outcome.Refusals, r =>
        {
            Assert.NotEmpty(r.Asked);
            Assert.NotEmpty(r.Allowed);
            Assert.NotEmpty(r.Remedy);
        });
    }

    [Fact]
    public void The_good_document_behind_the_bad_ones_is_accepted() => Assert.Empty(PlanDocument.Parse(BadDocuments.Good).Refusals);

    [Fact]
    public void All_faults_come_at_once()
    {
        const string text = """
            {"format":"sweep-plan/1","nmae":"x","drive":{"startVolts":-99,"stopVolts":"high","points":0,"direction":"sideways"},
             "dwellMicroseconds":1,"averaging":{"conversions":0},"connection":{"kind":"pentode","plateRailVolts":250,"biasRailVolts":5,
             "heaterVolts":6.3,"plateResistorOhms":-1,"screenResistorOhms":100,"gridStopperOhms":4700}}
            """;
        var paths = PlanDocument.Parse(text).Refusals.Select(r => r.Path).ToList();
        Assert.Equal(
            [
                "/nmae", "/name", "/drive/startVolts", "/drive/stopVolts", "/drive/points", "/drive/direction", "/dwellMicroseconds",
                "/averaging/conversions", "/connection/plateRailVolts", "/connection/biasRailVolts", "/connection/plateResistorOhms",
            ],
            paths);
    }

    [Theory]
    [InlineData("repeat", "repeats")]
    [InlineData("REPEATS", "repeats")]
    [InlineData("dwelMicroseconds", "dwellMicroseconds")]
    [InlineData("dwell", "dwellMicroseconds")]
    public void A_misspelt_key_gets_a_suggestion(string key, string meant)
    {
        var text = BadDocuments.Good.Replace("\"repeats\"", $"\"{key}\"", StringComparison.Ordinal);
        var refusal = Assert.Single(PlanDocument.Parse(text).Refusals);
        Assert.Equal($"Did you mean \"{meant}\"?", refusal.Remedy);
    }

    [Fact]
    public void A_key_like_no_other_gets_no_suggestion()
    {
        var text = BadDocuments.Good.Replace("\"repeats\"", "\"colour\"", StringComparison.Ordinal);
        Assert.Equal("Delete it.", Assert.Single(PlanDocument.Parse(text).Refusals).Remedy);
    }

    [Fact]
    public void Value_limit_and_remedy_stand_in_one_line()
    {
        var refusal = Assert.Single(PlanDocument.Parse(BadDocuments.Text("rail over 60 V")).Refusals);
        Assert.Equal("/connection/plateRailVolts: plateRailVolts is 250 V; 0.1 to 60 V is allowed. The nearest allowed value is 60.", refusal.ToString());
    }

    [Theory]
    [InlineData("", 1, 1)]
    [InlineData("{", 1, 2)]
    [InlineData("{\n  \"format\": NaN\n}", 2, 13)]
    [InlineData("{\n\"a\": 1,\n}", 3, 1)]
    [InlineData("{} x", 1, 4)]
    [InlineData("// no\n{}", 1, 1)]
    public void Malformed_json_gives_line_and_column(string text, int line, int column)
    {
        var refusal = Assert.Single(PlanDocument.Parse(text).Refusals);
        Assert.Equal("malformed-json", refusal.Code);
        Assert.EndsWith($"line {line}, column {column}", refusal.Asked, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("[]")]
    [InlineData("7")]
    [InlineData("null")]
    [InlineData("\"sweep\"")]
    public void A_document_that_is_no_object_is_refused(string text) =>
        Assert.Equal("wrong-type", Assert.Single(PlanDocument.Parse(text).Refusals).Code);

    [Fact]
    public void A_document_nested_without_end_is_refused() =>
        Assert.Equal("malformed-json", Assert.Single(PlanDocument.Parse(new string('[', 100_000)).Refusals).Code);

    [Fact]
    public void A_far_too_long_document_is_refused_with_its_length_and_the_limit()
    {
        var refusal = Assert.Single(PlanDocument.Parse(new string(' ', PlanDocument.MaxCharacters + 1)).Refusals);
        Assert.Equal(
            new("document-too-long", "", "the document has 262145 characters", "at most 262144 are read", "Check that this is a sweep plan."), refusal);
    }

    [Fact]
    public void Half_a_character_is_refused()
    {
        var refusal = Assert.Single(PlanDocument.Parse("{\"name\": \"\ud800\"}").Refusals);
        Assert.Equal("half-a-character", refusal.Code);
        Assert.Contains("UTF-8", refusal.Remedy, StringComparison.Ordinal);
    }

    /// <summary>RFC 8259, 8.2: the grammar lets an escape stand for half of a character; what to make of it is left to the reader.</summary>
    [Theory]
    [InlineData("{\"name\": \"\\ud800\"}", "/name")]
    [InlineData("{\"\\ud800\": 1}", "")]
    [InlineData("{\"format\": \"\\udc00\"}", "/format")]
    public void Half_a_character_by_an_escape_is_refused_too(string text, string path) =>
        Assert.Contains(PlanDocument.Parse(text).Refusals, r => (r.Code, r.Path) == ("half-a-character", path));

    [Fact]
    public void Half_a_character_where_a_number_should_be_is_told_as_it_stands() =>
        Assert.Contains(PlanDocument.Parse("{\"format\": \"sweep-plan/1\", \"drive\": \"\\ud800\"}").Refusals, r => r.Asked.Contains("\\ud800", StringComparison.Ordinal));

    [Fact]
    public void A_byte_order_mark_does_no_harm() => Assert.True(PlanDocument.Parse('\uFEFF' + BadDocuments.Good).IsAccepted);

    [Fact]
    public void Repeats_may_be_left_out()
    {
        var text = BadDocuments.Good.Replace("\"repeats\": 1,", "", StringComparison.Ordinal);
        Assert.Equal(1, PlanDocument.Parse(text).Value!.Repeats);
    }

    [Fact]
    public void A_plan_inside_a_larger_document_is_read_from_there()
    {
        using var document = JsonDocument.Parse($$"""{"plan": {{BadDocuments.Good}}, "socket": 1}""");
        Assert.True(PlanDocument.Parse(document.RootElement.GetProperty("plan")).IsAccepted);
    }

    [Fact]
    public void Any_plan_within_limits_reads_back_the_same() =>
        Plans.Sample(plan =>
        {
            var outcome = PlanDocument.Parse(PlanDocument.Write(plan));
            return outcome.IsAccepted && outcome.Value == plan;
        });

    [Fact]
    public void Cutting_a_document_short_never_throws_and_never_passes() =>
        Gen.Int[0, BadDocuments.Good.Length - 1].Sample(length =>
        {
            // Only white space may be cut off without harm.
            var text = BadDocuments.Good[..length];
            return PlanDocument.Parse(text).IsAccepted == (text.TrimEnd() == BadDocuments.Good.TrimEnd());
        });

    private static readonly Gen<Connection> Connections =
        from kind in Gen.Enum<ConnectionKind>()
        from rail in Gen.Double[0.1, 60]
        from bias in Gen.Double[-60, 0]
        from heater in Gen.Double[0.1, 60]
        from plate in Gen.Double[1, 1e8]
        from screen in Gen.Double[1, 1e8]
        from stopper in Gen.Double[1, 1e8]
        select new Connection(kind, new(rail), new(bias), new(heater), new(plate), new(screen), new(stopper));

    private static readonly Gen<SweepPlan> Plans =
        from connection in Connections
        from start in Gen.Double[-60, 0]
        from span in Gen.Double[0.001, 59]
        from points in Gen.Int[2, 2000]
        from direction in Gen.Enum<SweepDirection>()
        from dwell in Gen.Int[50, 10_000_000]
        from averaging in Gen.OneOf<Averaging>(
            Gen.Int[1, 256].Select(n => (Averaging)new Averaging.Count(n)),
            Gen.Select(Gen.Int[1, 50], Gen.Int[0, 1].Select(i => i == 0 ? 50 : 60), (p, h) => (Averaging)new Averaging.MainsPeriods(p, h)))
        from settle in Gen.Select(Gen.Double[0.0001, 10], Gen.Int[50, 1_000_000], (t, u) => new SettleRule(new(t), u)).Null()
        from second in Gen.Select(Gen.Enum<SteppedSource>(), Gen.Double[0.1, 30], Gen.Double[31, 60], Gen.Int[2, 5], (s, f, t, n) => new SecondSource(s, new(f), new(t), n)).Null()
        from repeats in Gen.Int[1, 10]
        from name in Gen.String[Gen.Char[' ', '~'], 1, 78]
        select new SweepPlan("µ" + name, new(start), new(start + span), points, direction, dwell, averaging, settle, repeats, second, connection);
}
