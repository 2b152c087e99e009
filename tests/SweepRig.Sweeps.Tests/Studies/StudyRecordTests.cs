using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Sweeps.Studies;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Studies;

/// <summary>Setups as documents, and studies made anew from their runs.</summary>
public sealed class StudyRecordTests
{
    private static readonly PlayedBench Any = new(StudyCases.Sound);

    public static TheoryData<string> Kinds => ["exploration", "soak", "repeat", "warm-up", "life"];

    [Theory]
    [MemberData(nameof(Kinds))]
    public void A_setup_read_again_is_the_same(string kind)
    {
        var setup = Setup(kind);
        Assert.Equal(setup, StudyDocument.Read(Header(setup, StudyDocument.Write(setup))));
    }

    [Theory]
    [InlineData("{", "damaged")]
    [InlineData("{}", "format ''")]
    [InlineData("{\"format\":\"study-setup/9\"}", "format 'study-setup/9'")]
    [InlineData("{\"format\":\"study-setup/1\",\"heaterSpeed\":1}", "does not say \"ceilingVolts\"")]
    public void A_damaged_document_is_told(string text, string says)
    {
        var setup = Setup("exploration");
        Assert.Contains(says, Assert.Throws<InvalidDataException>(() => StudyDocument.Read(Header(setup, text))).Message, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void A_study_made_anew_from_its_runs_has_found_the_same(string kind)
    {
        var (setup, bench, done) = Played(kind);
        var again = StudyRecord.Replay(Tagged.Of(setup, bench));
        Assert.IsType<StudyAct.Finish>(again.Next);
        Assert.Equal(done.Findings.Because, again.Findings.Because);
        Assert.Equal(done.Findings.Figures.Select(f => (f.Word, f.Value.Value is { } v ? Math.Round(v, 9) : (double?)null)), again.Findings.Figures.Select(f => (f.Word, f.Value.Value is { } v ? Math.Round(v, 9) : (double?)null)));
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void A_study_that_was_cut_off_goes_on_where_it_was(string kind)
    {
        var (setup, bench, done) = Played(kind);
        var runs = Tagged.Of(setup, bench);
        for (var kept = 1; kept < runs.Count; kept += Math.Max(1, runs.Count / 4))
        {
            StudyRun[] left = [.. runs.Take(kept), runs[kept] with { State = RunState.Incomplete }];
            var going = StudyRecord.Replay(left, goesOn: true);
            Assert.Equal(StudyEnd.UnderWay, going.Findings.End);
            while (going.Next is StudyAct.Heat or StudyAct.Cool or StudyAct.WaitUntil) going = going.With(new StudyResult.Done(going.Elapsed));
            Assert.Equal(runs[kept].Header.Study!.Step, going.Done);
            Assert.Equal(StudyEnd.Failed, StudyRecord.Replay(left).Findings.End);
        }
        Assert.NotEqual(StudyEnd.UnderWay, done.End);
    }

    [Fact]
    public void A_run_that_is_missing_or_of_another_study_is_told()
    {
        var (setup, bench, _) = Played("exploration");
        var runs = Tagged.Of(setup, bench);
        Assert.Contains("is missing", Assert.Throws<InvalidDataException>(() => StudyRecord.Replay([runs[0], runs[2]])).Message, StringComparison.Ordinal);
        var other = runs[1] with { Header = runs[1].Header with { Study = runs[1].Header.Study! with { StudyId = "other" } } };
        Assert.Contains("not of study", Assert.Throws<InvalidDataException>(() => StudyRecord.Replay([runs[0], other])).Message, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void What_is_left_shrinks_to_nothing_and_never_promises_too_little(string kind)
    {
        var setup = Setup(kind);
        var bench = new PlayedBench(StudyCases.Sound);
        IStudy at = StudyRecord.Begin(bench.Rig, setup);
        var (time, acts) = (at.Left.Time, at.Left.Acts);
        Assert.True(at.Left.HeaterTime <= at.Left.Time);
        Assert.Equal(kind == "exploration" ? 24 : 0, at.Left.Ceiling.Value);
        while (at.Next is not StudyAct.Finish) at = at.With(bench.Do(setup, at.Next));
        Assert.True(bench.Now <= time * 1.1, $"{bench.Now} of {time}");
        Assert.True(at.Done <= acts, $"{at.Done} of {acts} acts");
        Assert.Equal(new(0, TimeSpan.Zero, TimeSpan.Zero, default), at.Left);
    }

    [Fact]
    public void A_refusal_and_a_trip_end_it_with_their_words()
    {
        var study = StudyRecord.Begin(Any.Rig, Setup("life"));
        var refused = study.With(new StudyResult.Refused([new Refusal("latched", "", "a heater was to be switched on", "the latch has fired", "Acknowledge.")], TimeSpan.Zero));
        Assert.Equal(StudyEnd.Failed, refused.Findings.End);
        Assert.Contains("Acknowledge.", refused.Findings.Because, StringComparison.Ordinal);
        Assert.Throws<InvalidOperationException>(() => refused.With(new StudyResult.Done(TimeSpan.Zero)));
        var bench = new PlayedBench(StudyCases.Sound) { Trips = (2, TripCause.CathodeCurrent) };
        var tripped = bench.Play(Life.Begin(bench.Rig, StudyCases.Life(3, 1)));
        Assert.Contains("too much cathode current (9 mA; limit 8 mA)", tripped.Because, StringComparison.Ordinal);
    }

    [Fact]
    public void Setups_that_cannot_be_are_refused_with_every_reason()
    {
        var bad = StudyCases.Exploration(Any) with { Ceiling = new(40), StepVolts = 0.01, BaselineSweeps = 1, FalseAlarms = 0, Rest = TimeSpan.FromHours(1), Limits = new(new(1), new(0.05), new(9), new(9), 0) };
        Assert.Equal(
            ["exploration-baseline", "exploration-ceiling", "exploration-charge", "exploration-false-alarms", "exploration-grid-current", "exploration-plate", "exploration-rest", "exploration-screen", "exploration-step"],
            bad.Faults(Any.Rig, SweepRig.Sweeps.Planning.CatalogueRatings.BuiltIn.Of("6AU6")).Select(f => f.Code).Order(StringComparer.Ordinal));
        Assert.Empty(StudyCases.Exploration(Any).Faults(Any.Rig, SweepRig.Sweeps.Planning.CatalogueRatings.BuiltIn.Of("6AU6")));
        Assert.Equal(2, StudyCases.Soak(0.01, 0).Faults().Count);
        Assert.Equal(3, (StudyCases.WarmUp() with { Times = 0, Cool = TimeSpan.Zero, Watch = TimeSpan.Zero }).Faults().Count);
        Assert.Equal(5, (StudyCases.Life(0, 9) with { On = TimeSpan.Zero, Off = TimeSpan.Zero, MostLossPercent = 0 }).Faults().Count);
        Assert.Empty(StudyCases.Life(100, 10).Faults());
    }

    private static StudySetup Setup(string kind) => kind switch
    {
        "exploration" => StudyCases.Exploration(Any),
        "soak" => StudyCases.Soak(2, 8, draws: true),
        "repeat" => StudyCases.Repeat(10, 8),
        "warm-up" => StudyCases.WarmUp() with { Times = 2, Watch = TimeSpan.FromSeconds(40) },
        _ => StudyCases.Life(6, 2),
    };

    private static (StudySetup Setup, PlayedBench Bench, Study Done) Played(string kind)
    {
        var bench = new PlayedBench(StudyCases.Sound);
        var setup = Setup(kind);
        return (setup, bench, bench.Play((Study)StudyRecord.Begin(bench.Rig, setup)));
    }

    private static RunHeader Header(StudySetup setup, string text) => new(
        "r", DateTimeOffset.UnixEpoch, setup.Tube, setup.Socket, StudyPlans.Reference(Samples.Rig, setup.Fixture), [], RigCalibration.Nominal(Samples.Rig), Samples.Rig, "test", null)
    {
        Study = new(setup.StudyId, setup.Kind, Domain.Studies.StudyRole.Measure, 0, TimeSpan.Zero, text),
    };
}
