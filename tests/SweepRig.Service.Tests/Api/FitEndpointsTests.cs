using System.Net;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Api;

/// <summary>Fits, predictions and their check over REST, on runs of the simulated rig.</summary>
[Collection(RealTime.Name)]
public sealed class FitEndpointsTests
{
    [Fact]
    public async Task A_run_is_fitted_and_what_is_not_determined_is_named_with_a_sweep_that_is_a_good_plan()
    {
        await using var bench = await TestBench.StartWholeAsync();
        var id = await SweepAsync(bench, PlanExamples.GentlePentode.Plan);

        var fit = await bench.GetAsync($"/api/runs/{id}/fit");
        // One pass of one connection leaves much open, and the fit says so rather than to refuse.
        Assert.Contains((string?)fit["status"], new[] { "good", "doubtful" });
        Assert.NotEqual("", (string?)fit["says"]);
        var constants = fit["constants"]!.AsArray();
        Assert.Equal(15, constants.Count);
        Assert.All(constants, c => Assert.True(c!["figure"]!["value"] is not null || (string?)c["figure"]!["absentBecause"] is { Length: > 0 }));
        Assert.All(constants.Where(c => c!["figure"]!["value"] is not null), c => Assert.InRange((double)c!["figure"]!["value"]!, (double)c["low"]!, (double)c["high"]!));
        // No positive drive was swept: the fold-back is not known, and is not guessed.
        var foldBack = constants.Single(c => (string?)c!["name"] == "foldBackCurrent")!;
        Assert.Null(foldBack["figure"]!["value"]);
        Assert.True(PlanDocument.Parse(foldBack["needed"]!["plan"]!.ToJsonString()).IsAccepted);

        var pass = fit["passes"]!.AsArray().Single()!;
        var (measured, fitted, residual) = (pass["measured"]!.AsArray(), pass["fitted"]!.AsArray(), pass["residual"]!.AsArray());
        Assert.Equal(141, residual.Count);
        Assert.All(Enumerable.Range(0, 141), i => Assert.Equal((double)measured[i]! - (double)fitted[i]!, (double)residual[i]!, 9));
        // The rig is the model with noise: whatever else is doubtful, the fit leaves scatter over and no more. Points that were left out lie far off by their nature.
        var wild = pass["wild"]!.AsArray().Select(w => (int)w!).ToHashSet();
        var spread = Math.Sqrt(residual.Where((_, i) => !wild.Contains(i)).Average(r => (double)r! * (double)r!)) / (double)pass["scatterVolts"]!;
        Assert.InRange(spread, 0.7, 1.5);
        Assert.InRange(wild.Count, 0, 7);
        Assert.DoesNotContain(fit["findings"]!.AsArray(), f => (string?)f!["code"] is "not-described" or "wrong-connection");
    }

    [Fact]
    public async Task A_prediction_for_another_resistor_holds()
    {
        await using var bench = await TestBench.StartWholeAsync();
        // Both connections, far enough for all constants: one pass alone gives a fit that calls itself doubtful, and its predictions are.
        using (var permit = await bench.SendAsync("POST", "/api/bench/permit", """{"ceilingVolts":24,"durationSeconds":120,"reason":"fold-back check"}"""))
            Assert.Equal(HttpStatusCode.OK, permit.StatusCode);
        var plan = PlanExamples.FarPositivePentode.Plan;
        var (id, triode) = (await SweepAsync(bench, plan), await SweepAsync(bench, PlanExamples.FarPositiveTriode.Plan));
        var predicted = await bench.GetAsync($"/api/runs/{id}/prediction?plateResistorOhms=22000&with={triode}");
        Assert.Equal(22_000, (double)predicted["plateResistorOhms"]!);
        Assert.All(predicted["uncertainty"]!.AsArray(), u => Assert.InRange((double)u!, 1e-6, 28.5 / Math.Sqrt(12)));
        var proposed = PlanDocument.Parse(predicted["plan"]!.ToJsonString());
        Assert.True(proposed.IsAccepted);
        Assert.Equal(plan with { Name = proposed.Value.Name, Connection = plan.Connection with { PlateResistor = new(22_000) } }, proposed.Value);

        var other = await SweepAsync(bench, proposed.Value);
        var check = await bench.GetAsync($"/api/runs/{id}/prediction/check?run={other}&with={triode}");
        // Of true predictions one in twenty touches the edge of what is stated; none in a thousand is called wrong.
        Assert.True((string?)check["verdict"] is "held" or "edge", (string?)check["says"]);
        Assert.Equal((string?)check["verdict"] == "held", (bool)check["within"]!);
        Assert.Equal((382, (bool)check["within"]!), ((int)check["points"]!, (int)check["pointsWithin"]! == 382));
        Assert.Equal((bool)check["within"]!, Math.Abs((double)check["worstDeviation"]!) <= (double)check["worstAllowed"]!);
    }

    [Fact]
    public async Task Plain_laws_stand_beside_the_model_with_what_each_leaves_over()
    {
        await using var bench = await TestBench.StartWholeAsync();
        var pentode = await SweepAsync(bench, PlanExamples.GentlePentode.Plan);
        var triode = await SweepAsync(bench, PlanExamples.GentlePentode.Plan with { Connection = PlanExamples.GentlePentode.Plan.Connection with { Kind = Domain.Tubes.ConnectionKind.Triode } });
        var laws = await bench.GetAsync($"/api/runs/{pentode}/laws?with={triode}");
        Assert.Equal(["three-halves", "free-exponent", "koren-triode", "koren-pentode"], laws["laws"]!.AsArray().Select(l => (string?)l!["law"]));
        Assert.All(laws["laws"]!.AsArray(), l =>
        {
            Assert.NotEmpty(l!["constants"]!.AsArray());
            Assert.True((int)l["points"]! >= 16);
            Assert.True((double)l["outputRmsVolts"]! > 0 && (double)l["modelRmsVolts"]! > 0);
        });
        // A law of two constants does not follow a tube at this rail; the model does.
        Assert.True((double)laws["laws"]![0]!["outputRmsVolts"]! > 3 * (double)laws["laws"]![0]!["modelRmsVolts"]!);
        Assert.Equal(["koren-pentode"], (await bench.GetAsync($"/api/runs/{pentode}/laws"))["laws"]!.AsArray().Select(l => (string?)l!["law"]));
    }

    [Fact]
    public async Task The_fitted_tube_is_exported_with_where_it_comes_from_and_where_it_holds()
    {
        await using var bench = await TestBench.StartWholeAsync();
        var id = await SweepAsync(bench, PlanExamples.GentlePentode.Plan);
        using var answer = await bench.SendAsync("GET", $"/api/runs/{id}/tube.cir", null);
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        Assert.Equal($"SKUA-014-pentode-{id}.cir", answer.Content.Headers.ContentDisposition!.FileName);
        var text = await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        foreach (var part in new[] { ".subckt tube_skua_014 p s g k", ".subckt tube_skua_014_triode", $"fitted to run {id}" })
            Assert.Contains(part, text.Replace("\n*  ", "", StringComparison.Ordinal), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("fit?with=ffff", HttpStatusCode.UnprocessableEntity, "run-unknown", "/with")]
    [InlineData("fit?calibration=cal-99", HttpStatusCode.UnprocessableEntity, "calibration-unknown", "/calibration")]
    [InlineData("prediction?plateResistorOhms=0", HttpStatusCode.UnprocessableEntity, "plate-resistor-out-of-range", "/plateResistorOhms")]
    [InlineData("prediction?plateResistorOhms=-4700", HttpStatusCode.UnprocessableEntity, "plate-resistor-out-of-range", "/plateResistorOhms")]
    [InlineData("prediction?plateResistorOhms=NaN", HttpStatusCode.UnprocessableEntity, "plate-resistor-out-of-range", "/plateResistorOhms")]
    [InlineData("prediction?plateResistorOhms=1e12", HttpStatusCode.UnprocessableEntity, "plate-resistor-out-of-range", "/plateResistorOhms")]
    [InlineData("prediction?plateResistorOhms=22k", HttpStatusCode.UnprocessableEntity, "not-a-number", "/plateResistorOhms")]
    [InlineData("prediction?plateRailVolts=61", HttpStatusCode.UnprocessableEntity, "plate-rail-out-of-range", "/plateRailVolts")]
    [InlineData("prediction?plateRailVolts=", HttpStatusCode.UnprocessableEntity, "not-a-number", "/plateRailVolts")]
    [InlineData("prediction/check?run=ffff", HttpStatusCode.NotFound, "not-found", "")]
    public async Task What_is_asked_badly_is_refused_with_value_limit_and_remedy(string asked, HttpStatusCode status, string code, string path)
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header();
        await bench.RecordAsync(header, RunState.Complete, Examples.Block(0, 141));
        await AssertRefusedAsync(bench, $"/api/runs/{header.Id}/{asked}", status, code, path);
    }

    [Fact]
    public async Task Runs_that_cannot_be_fitted_together_are_named()
    {
        await using var bench = await TestBench.StartAsync();
        var (one, other, running) = (Examples.Header(), Examples.Header() with { Tube = new("SKUA-087", "6AU6") }, Examples.Header());
        await bench.RecordAsync(one, RunState.Complete, Examples.Block(0, 141));
        await bench.RecordAsync(other, RunState.Complete, Examples.Block(0, 141));
        await bench.RecordAsync(running, null, Examples.Block(0));
        await AssertRefusedAsync(bench, $"/api/runs/{one.Id}/fit?with={other.Id}", HttpStatusCode.UnprocessableEntity, "another-tube", "/with");
        await AssertRefusedAsync(bench, $"/api/runs/{one.Id}/fit?with={running.Id}", HttpStatusCode.UnprocessableEntity, "run-not-ended", "/with");
        await AssertRefusedAsync(bench, $"/api/runs/{one.Id}/prediction/check?run={one.Id}", HttpStatusCode.UnprocessableEntity, "run-was-fitted", "/run");
        await AssertRefusedAsync(bench, $"/api/runs/{one.Id}/prediction/check?run={other.Id}", HttpStatusCode.UnprocessableEntity, "another-tube", "/run");
        await AssertRefusedAsync(bench, "/api/runs/ffff/fit", HttpStatusCode.NotFound, "not-found", "");
    }

    [Fact]
    public async Task A_run_with_too_little_in_it_is_answered_in_words_and_predicts_nothing()
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header();
        await bench.RecordAsync(header, RunState.Complete, Examples.Block(0, 2));
        var fit = await bench.GetAsync($"/api/runs/{header.Id}/fit");
        Assert.Equal("refused", (string?)fit["status"]);
        Assert.NotEmpty(fit["findings"]!.AsArray());
        Assert.Empty(fit["constants"]!.AsArray());
        using var answer = await bench.SendAsync("GET", $"/api/runs/{header.Id}/prediction?plateResistorOhms=22000", null);
        Assert.NotEmpty((await TestBench.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity))["refusals"]!.AsArray());
    }

    private static async Task AssertRefusedAsync(TestBench bench, string asked, HttpStatusCode status, string code, string path)
    {
        using var answer = await bench.SendAsync("GET", asked, null);
        var refusal = (await TestBench.ProblemAsync(answer, status))["refusals"]![0]!;
        Assert.Equal((code, path), ((string?)refusal["code"], (string?)refusal["path"]));
        Assert.NotEqual("", (string?)refusal["allowed"]);
        Assert.NotEqual("", (string?)refusal["remedy"]);
    }

    internal static Task<string> SweepAsync(TestBench bench, SweepPlan plan) => bench.SweepAsync(plan);
}
