using SweepRig.Domain.Interlocks;
using SweepRig.Sweeps.Studies;
using SweepRig.Tubes.Lots;

namespace SweepRig.Sweeps.Tests.Studies;

/// <summary>An exploration on the simulated bench: which tube ends it how.</summary>
public sealed class ExplorationBenchTests(ITestOutputHelper output)
{
    private static readonly Poisoning Passing = new(0.2e-3, 0.1e-3, 0, 15), Lasting = new(0.2e-3, 0.1e-3, 1, 15);

    public static TheoryData<string, StudyEnd> Cases => new()
    {
        { "sound", StudyEnd.FoldBack },
        { "sound, up to 3 V", StudyEnd.Completed },
        { "triode", StudyEnd.Completed },
        { "small stopper", StudyEnd.Limit },
        { "poisoned for good", StudyEnd.NotRecovered },
        { "poisoned for a while", StudyEnd.NotRecovered },
        { "wandering", StudyEnd.Unsteady },
        { "heater open", StudyEnd.Dead },
        { "trips", StudyEnd.Tripped },
    };

    [Theory]
    [MemberData(nameof(Cases))]
    public void Every_tube_ends_it_as_it_must(string name, StudyEnd end)
    {
        var done = Play(name, out var bench);
        Print(done);
        Assert.Equal(end, done.End);
        Assert.Equal(end, done.Findings.End);
        Assert.NotEqual("", done.Because);
        Assert.InRange(bench.HighestDrive, -16, bench.Runs.Max(r => r.Header.Plan.Stop.Value) + 0.05);
        Assert.True(bench.Runs.Max(r => r.Header.Plan.Stop.Value) <= done.Setup.Ceiling.Value);
    }

    [Fact]
    public void A_sound_pentode_is_recommended_up_to_its_lowest_output()
    {
        var done = Play("sound", out _);
        var drive = done.Findings.Figures[0];
        Assert.Equal("exploration.recommended-drive", drive.Word);
        // The floor of the example tube lies at 4.3 V of drive, and is flat.
        Assert.InRange(drive.Value.Value!.Value, 3, 7);
        Assert.True(done.Steps[^1].Ceiling < 24);
        Assert.Contains("folds back", done.Because, StringComparison.Ordinal);
        Assert.True(ExplorationJudge.Significance(done.Steps[^1].Levels.FoldBackDepth) > 3);
    }

    [Fact]
    public void A_poisoned_tube_is_recommended_no_more_than_it_recovered_from()
    {
        var done = Play("poisoned for good", out _);
        var good = done.Steps.Where(s => s.After is { Repeats: true }).Select(s => s.Ceiling).DefaultIfEmpty(0).Max();
        Assert.Equal(good, done.Findings.Figures[0].Value.Value ?? 0, 6);
        Assert.Equal(Exploration.FollowUps, done.Afterwards.Count);
        Assert.True(done.Steps[^1].After!.Shift.Value < 0, "a cathode that loses emission stands lower");
        Assert.Contains("had not come back", done.Because, StringComparison.Ordinal);
        Assert.Contains("came back", Play("poisoned for a while", out _).Because, StringComparison.Ordinal);
    }

    [Fact]
    public void A_limit_is_kept_before_it_is_passed()
    {
        var done = Play("small stopper", out _);
        var limit = done.Setup.Limits.GridCurrent.Value;
        Assert.All(done.Steps, s => Assert.True(s.Burden.GridAmps.Value <= limit, $"{s.Burden.GridAmps.Value}"));
        Assert.Contains("grid current would be about", done.Because, StringComparison.Ordinal);
    }

    [Fact]
    public void What_its_runs_tell_is_what_it_found()
    {
        var done = Play("poisoned for good", out var bench);
        var again = (Exploration)StudyRecord.Replay(Tagged.Of(done.Setup, bench));
        Assert.Equal((done.End, done.Because), (again.End, again.Because));
        Assert.Equal(done.Findings.Figures.Select(f => (f.Word, f.Value.Value, f.Value.Uncertainty)), again.Findings.Figures.Select(f => (f.Word, f.Value.Value, f.Value.Uncertainty)));
    }

    private static Exploration Play(string name, out PlayedBench bench)
    {
        bench = name switch
        {
            "poisoned for good" => new(StudyCases.With(new() { Poisoning = Lasting })),
            "poisoned for a while" => new(StudyCases.With(new() { Poisoning = Passing })),
            "wandering" => new(StudyCases.With(new() { WanderVolts = 0.03, WanderSeconds = 20 })),
            "heater open" => new(StudyCases.With(new() { HeaterOpen = true })),
            "trips" => new(StudyCases.Sound) { Trips = (8, TripCause.GridCurrent) },
            _ => new(StudyCases.Sound),
        };
        var setup = name switch
        {
            "sound, up to 3 V" => StudyCases.Exploration(bench, 3),
            "triode" => StudyCases.Exploration(bench, 24, StudyCases.Fixture with { Kind = Domain.Tubes.ConnectionKind.Triode }),
            "small stopper" => StudyCases.Exploration(bench, 24, StudyCases.Fixture with { Kind = Domain.Tubes.ConnectionKind.Triode, GridStopper = new(1_000) }),
            _ => StudyCases.Exploration(bench),
        };
        return bench.Play(Exploration.Begin(bench.Rig, setup));
    }

    private void Print(Exploration done)
    {
        output.WriteLine($"{done.End}: {done.Because}");
        foreach (var g in done.Findings.Figures) output.WriteLine($"  {g.Word} {g.Meaning}: {g.Value.Value} ± {g.Value.Uncertainty} {g.Value.Unit} {g.Value.AbsentBecause} {g.Value.Mark}");
        foreach (var s in done.Steps)
            output.WriteLine(FormattableString.Invariant($"  {s.Ceiling}: Ig {s.Burden.GridAmps.Value:e2} Pg {s.Burden.GridWatts.Value:e2} out {s.OutputAtEnd.Value:f4} fold {s.Levels.FoldBackDepth.Value:f4} q {s.CoulombsSoFar:e2} shift {s.After?.Shift.Value:e2} ± {s.After?.Shift.Uncertainty:e2} scale {s.After?.Scale.Value:f4} p {s.After?.Chance:e2} {s.After?.ShapeChance:e2}"));
    }
}
