using System.Net;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Api;

/// <summary>Families and load lines over REST, on runs of the simulated rig.</summary>
[Collection(RealTime.Name)]
public sealed class FamilyEndpointsTests
{
    [Fact]
    public async Task A_stepped_rail_gives_a_family_whose_load_line_holds_against_a_sweep_made_with_it()
    {
        await using var bench = await TestBench.StartWholeAsync();
        var id = await bench.SweepAsync(PlanExamples.PlateFamily.Plan);
        var family = await bench.GetAsync($"/api/runs/{id}/family");
        Assert.Equal(7, (int)family["curves"]!);
        var lines = family["lines"]!.AsArray();
        Assert.InRange(lines.Count, 6, 24);
        // In triode connection the current rises with the plate voltage.
        Assert.All(lines, line => Assert.True((double)line!["plateAmps"]![40]! > (double)line["plateAmps"]![0]!));

        var predicted = await bench.GetAsync($"/api/runs/{id}/family/prediction?plateResistorOhms=22000&plateRailVolts=26");
        Assert.Null(predicted["check"]);
        Assert.NotEmpty(predicted["operatingPoints"]!.AsArray());
        Assert.All(predicted["operatingPoints"]!.AsArray(), at => Assert.Equal((26 - (double)at!["plateVolts"]!) / 22_000, (double)at["plateAmps"]!, 12));
        var proposed = PlanDocument.Parse(predicted["plan"]!.ToJsonString());
        Assert.True(proposed.IsAccepted);
        Assert.Null(proposed.Value.SecondSource);
        Assert.Equal((22_000, 26), (proposed.Value.Connection.PlateResistor.Value, proposed.Value.Connection.PlateRail.Value));

        var swept = await bench.SweepAsync(proposed.Value);
        var held = (await bench.GetAsync($"/api/runs/{id}/family/prediction?plateResistorOhms=22000&plateRailVolts=26&run={swept}"))["check"]!;
        Assert.True((string?)held["verdict"] is "held" or "edge", (string?)held["says"]);
        Assert.True((int)held["points"]! > 60);

        await AssertRefusedAsync(bench, $"/api/runs/{swept}/family", "too-few-curves", "/with");
        await AssertRefusedAsync(bench, $"/api/runs/{id}/family/prediction?run={id}", "run-of-family", "/run");
        await AssertRefusedAsync(bench, $"/api/runs/{id}/family/prediction?plateResistorOhms=0", "plate-resistor-out-of-range", "/plateResistorOhms");
        await AssertRefusedAsync(bench, $"/api/runs/{id}/family/prediction?plateRailVolts=61", "plate-rail-out-of-range", "/plateRailVolts");
        await AssertRefusedAsync(bench, $"/api/runs/{id}/family/prediction?plateRailVolts=55", "line-outside", "/plateResistorOhms");
    }

    [Fact]
    public async Task Two_plate_resistors_tell_the_slopes_of_the_tube_and_one_does_not()
    {
        await using var bench = await TestBench.StartWholeAsync();
        var plan = PlanExamples.GentlePentode.Plan with { Connection = PlanExamples.GentlePentode.Plan.Connection with { Kind = Domain.Tubes.ConnectionKind.Triode } };
        var one = await bench.SweepAsync(plan);
        var other = await bench.SweepAsync(plan with { Connection = plan.Connection with { PlateResistor = new(22_000) } });
        var alone = (await bench.GetAsync($"/api/runs/{one}/slopes"))["smallSignal"]!.AsArray();
        Assert.All(alone, at => Assert.NotEqual("", (string?)at!["mu"]!["absentBecause"]));
        var together = (await bench.GetAsync($"/api/runs/{one}/slopes?with={other}"))["smallSignal"]!.AsArray();
        var told = together.Single(at => (double)at!["gridVolts"]! == -1)!;
        // mu = gm rp (Barkhausen); an ordinary 6AU6 in triode connection has some 36 (data sheets of the type, from memory).
        double Of(string name) => (double)told[name]!["value"]!;
        Assert.Equal(Of("transconductance") * Of("plateResistance"), Of("mu"), 0.01 * Of("mu"));
        Assert.InRange(Of("mu"), 25, 55);
        Assert.Null(told["mu"]!["budget"]);
    }

    [Fact]
    public async Task A_run_of_another_connection_or_tube_is_not_held_against_a_family()
    {
        await using var bench = await TestBench.StartAsync();
        var (pentode, other) = (Examples.Header(), Examples.Header() with { Tube = new("SKUA-087", "6AU6") });
        var triode = Examples.Header(example: PlanExamples.FarPositiveTriode);
        foreach (var header in new[] { pentode, other, triode }) await bench.RecordAsync(header, RunState.Complete, Examples.Block(0, 141));
        await AssertRefusedAsync(bench, $"/api/runs/{pentode.Id}/family/prediction?run={triode.Id}", "other-connection", "/run");
        await AssertRefusedAsync(bench, $"/api/runs/{pentode.Id}/family/prediction?run={other.Id}", "another-tube", "/run");
        await AssertRefusedAsync(bench, $"/api/runs/{pentode.Id}/family?with={triode.Id}", "runs-differ", "/with");
        using var unknown = await bench.SendAsync("GET", "/api/runs/ffff/family", null);
        Assert.Equal(HttpStatusCode.NotFound, unknown.StatusCode);
    }

    private static async Task AssertRefusedAsync(TestBench bench, string asked, string code, string path)
    {
        using var answer = await bench.SendAsync("GET", asked, null);
        var refusals = (await TestBench.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity))["refusals"]!.AsArray();
        Assert.Contains(refusals, r => (string?)r!["code"] == code && (string?)r["path"] == path);
        Assert.All(refusals, r => Assert.NotEqual("", (string?)r!["remedy"]));
    }
}
