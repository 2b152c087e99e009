using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;
using SweepRig.Domain.Tubes;
using SweepRig.Sweeps.Planning;
using SweepRig.Sweeps.Screening;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Screening;

public sealed class ScreeningProcedureTests
{
    private static readonly Connection Fixture = new(ConnectionKind.Pentode, new(28), new(-14), new(6.3), new(10_000), new(100), new(4_700));
    private static readonly ScreeningSetup Setup = new("s", Samples.Tube, 0, Fixture);

    [Fact]
    public void Cold_steps_come_first_the_rail_gently_and_the_lower_heater_last()
    {
        var procedure = Run(Begin(), Sound);
        Assert.Equal(
            [
                ScreeningStepKind.ColdRailOff, ScreeningStepKind.ColdLowRail, ScreeningStepKind.ColdRailOn, ScreeningStepKind.WarmUp, ScreeningStepKind.FirstMinutes,
                ScreeningStepKind.Transfer, ScreeningStepKind.GridCurrent, ScreeningStepKind.Quiet, ScreeningStepKind.Tapped, ScreeningStepKind.LowHeater,
            ],
            procedure.Runs.Select(r => r.Kind));
        Assert.Null(procedure.EndedEarly);
        Assert.Null(procedure.Next);
        Assert.Empty(procedure.LeftOut);
    }

    [Fact]
    public void No_step_has_a_positive_drive_or_heats_beyond_the_rating()
    {
        Run(Begin(), step =>
        {
            Assert.All(step.Drives, d => Assert.InRange(Math.Max(d.FromVolts, d.ToVolts), -14, 0));
            Assert.InRange(step.HeaterVolts ?? 0, 0, 6.3);
            Assert.InRange(step.PlateRailVolts ?? 0, 0, 28);
            return Sound(step);
        });
    }

    [Fact]
    public void A_rig_that_cannot_set_its_supplies_leaves_steps_out_and_says_so()
    {
        var procedure = ScreeningProcedure.Begin(Samples.Rig with { Supplies = Supplies.Heater | Supplies.PlateRail }, Setup with { Taps = false });
        Assert.DoesNotContain(ScreeningStepKind.LowHeater, procedure.Program);
        Assert.DoesNotContain(ScreeningStepKind.ColdLowRail, procedure.Program);
        Assert.DoesNotContain(ScreeningStepKind.Tapped, procedure.Program);
        Assert.Equal(3, procedure.LeftOut.Count);
    }

    [Theory]
    [InlineData(300, "grid 1 is shorted")]
    [InlineData(20_000, null)]
    public void A_short_ends_the_program_before_anything_is_heated(double ohms, string? why)
    {
        // A divider of stopper and short.
        Curve Shorted(ScreeningStep step) => Cold(step) is var c ? c with
        {
            Grid = Array.ConvertAll(c.Drive, d => d * ohms / (ohms + 4_700)),
            GridCurrent = Array.ConvertAll(c.Drive, d => d / (ohms + 4_700)),
        } : c;
        var procedure = Begin();
        procedure = procedure.With(Done(procedure.Next!, Shorted(procedure.Next!)));
        if (why is null)
        {
            Assert.Null(procedure.EndedEarly);
            return;
        }
        Assert.Contains(why, procedure.EndedEarly, StringComparison.Ordinal);
        Assert.Null(procedure.Next);
    }

    [Fact]
    public void A_tube_that_stays_dead_is_given_up_after_the_warm_up()
    {
        var procedure = Run(Begin(), Cold);
        Assert.Equal(ScreeningStepKind.WarmUp, procedure.Runs[^1].Kind);
        Assert.Contains("does not conduct 60 s after", procedure.EndedEarly, StringComparison.Ordinal);
    }

    [Fact]
    public void A_trip_ends_it_and_is_named()
    {
        var procedure = Begin();
        var run = Done(procedure.Next!, Cold(procedure.Next!)) with { State = RunState.Tripped, Trips = [new(TripCause.GridCurrent, true, "9 mA", "8 mA", DateTimeOffset.UnixEpoch, null)] };
        Assert.Contains("an interlock fired in step \"grid path", procedure.With(run).EndedEarly, StringComparison.Ordinal);
    }

    [Fact]
    public void A_run_of_another_step_is_a_bug() =>
        Assert.Throws<InvalidOperationException>(() => Begin().With(Done(Run(Begin(), Cold).Runs.Count > 0 ? Warm() : Warm(), Cold(Warm()))));

    [Fact]
    public void A_heater_that_warms_ten_times_faster_is_watched_for_a_tenth_of_the_time()
    {
        double Seconds(ScreeningSetup setup)
        {
            var procedure = ScreeningProcedure.Begin(Samples.Rig, setup);
            while (procedure.Next!.Kind != ScreeningStepKind.WarmUp) procedure = procedure.With(Done(procedure.Next, Cold(procedure.Next)));
            var step = procedure.Next;
            return step.Points * (step.DwellMicroseconds + 5.0 * 16 * step.Conversions) * 1e-6;
        }
        Assert.Equal(60, Seconds(Setup), 0.1);
        Assert.Equal(6, Seconds(Setup with { HeaterSpeed = 10 }), 0.1);
    }

    [Fact]
    public void A_step_becomes_one_program_that_never_goes_above_zero()
    {
        var facts = new BenchFacts(Samples.Rig, RigCalibration.Nominal(Samples.Rig), Samples.Rig.HardLimits, null, DateTimeOffset.UnixEpoch, TimeSpan.Zero, TimeSpan.Zero, CatalogueRatings.BuiltIn.Of("6AU6"));
        Run(Begin(), step =>
        {
            var planned = ScreeningPlanner.Plan(new("s", step, Samples.Tube, Fixture, 0), facts);
            Assert.Empty(planned.Refusals);
            var pass = Assert.Single(planned.Value!.Passes);
            Assert.Equal(step.Points, pass.Program.Points);
            Assert.InRange(pass.Program.Segments.Count, 1, 64);
            for (var i = 0; i < pass.Program.Points; i++) Assert.InRange(Samples.Rig.Drive.ToVolts(pass.Program.CodeAt(i)), -14, 0);
            Assert.Equal(step.HeaterVolts is not null, pass.Supplies.Heater);
            Assert.Equal(step.PlateRailVolts ?? 0, pass.Supplies.PlateRailVolts);
            return Sound(step);
        });
    }

    [Fact]
    public void What_a_step_must_not_do_is_refused_with_every_reason()
    {
        var facts = new BenchFacts(Samples.Rig, RigCalibration.Nominal(Samples.Rig), Samples.Rig.HardLimits, null, DateTimeOffset.UnixEpoch, TimeSpan.Zero, TimeSpan.Zero, CatalogueRatings.BuiltIn.Of("6AU6"));
        var step = new ScreeningStep(ScreeningStepKind.Transfer, "wrong", 12.6, 55, [new(-20, 1, 10)], 1_000, 16);
        var codes = ScreeningPlanner.Plan(new("s", step, Samples.Tube, Fixture, 9), facts).Refusals.Select(r => r.Code).ToList();
        Assert.Equal(
            ["drive-below-bias-rail", "drive-below-floor", "heater-mismatch", "positive-drive-in-screening", "rail-above-channel", "rail-above-range", "socket-absent"],
            codes.Where(c => c is not ("rail-above-channel" or "plate-dissipation" or "screen-dissipation")).Append("rail-above-channel").Order(StringComparer.Ordinal));
    }

    private static ScreeningProcedure Begin() => ScreeningProcedure.Begin(Samples.Rig, Setup);

    private static ScreeningStep Warm()
    {
        var procedure = Begin();
        while (procedure.Next!.Kind != ScreeningStepKind.WarmUp) procedure = procedure.With(Done(procedure.Next, Cold(procedure.Next)));
        return procedure.Next;
    }

    private static ScreeningProcedure Run(ScreeningProcedure procedure, Func<ScreeningStep, Curve> show)
    {
        while (procedure.Next is { } step) procedure = procedure.With(Done(step, show(step)));
        return procedure;
    }

    private static ScreeningRun Done(ScreeningStep step, Curve curve)
    {
        var request = new ScreeningRequest("s", step, Samples.Tube, Fixture, 0);
        var header = new RunHeader(
            "r", DateTimeOffset.UnixEpoch, Samples.Tube, 0, ScreeningPlanner.PlanOf(request), [curve.Pass], RigCalibration.Nominal(Samples.Rig), Samples.Rig, "test", null)
        {
            Screening = new("s", step.Kind),
        };
        return new(header, RunState.Complete, curve, []);
    }

    private static Curve Cold(ScreeningStep step) => Conducting(step, _ => 0);

    /// <summary>A smooth inverter at 0 V of heater or more, nothing when cold.</summary>
    private static Curve Sound(ScreeningStep step) => Conducting(step, drive => step.HeaterVolts is null ? 0 : 1e-3 * (1 + Math.Tanh(drive + 1)));

    private static Curve Conducting(ScreeningStep step, Func<double, double> plateAmps)
    {
        double[] drive = [.. step.Drives.SelectMany(d => Enumerable.Range(0, d.Points).Select(i => d.Points == 1 ? d.FromVolts : d.FromVolts + (d.ToVolts - d.FromVolts) * i / (d.Points - 1)))];
        var rail = step.PlateRailVolts ?? 0;
        return new()
        {
            Pass = new(0, PassDirection.Up, drive.Length, 0, null),
            Drive = drive,
            Grid = drive,
            Plate = Array.ConvertAll(drive, d => rail - 10_000 * plateAmps(d)),
            Screen = Array.ConvertAll(drive, _ => rail),
            Supply = Array.ConvertAll(drive, _ => rail),
            GridCurrent = new double[drive.Length],
            ScreenCurrent = new double[drive.Length],
            PlateCurrent = Array.ConvertAll(drive, d => plateAmps(d)),
            PlateUncertainty = new double[drive.Length],
            Flags = new SampleFlags[drive.Length],
            SampledAtTicks = [.. drive.Select((_, i) => 1L + i)],
        };
    }
}
