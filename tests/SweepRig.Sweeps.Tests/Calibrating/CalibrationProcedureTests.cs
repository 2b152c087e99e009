using SweepRig.Domain;
using SweepRig.Domain.Rigs.Documents;
using SweepRig.Sweeps.Calibrating;

namespace SweepRig.Sweeps.Tests.Calibrating;

public sealed class CalibrationProcedureTests
{
    private static readonly BenchOfReadings Bench = new();

    [Theory]
    [InlineData(0)]
    [InlineData(24)]
    public void From_the_first_point_to_a_calibration_that_is_right(double positiveUpTo)
    {
        var procedure = Bench.Until("store", BenchOfReadings.Begun(positiveUpTo));
        var finished = procedure.Finish("cal-1", BenchOfReadings.Now, TimeSpan.FromDays(180));
        Assert.Empty(finished.Refusals);
        var calibration = finished.Value!;
        foreach (var correction in calibration.Channels.Append(calibration.Drive))
        {
            Assert.Equal(1.004, correction.Gain, 2e-4);
            Assert.Equal(0.02, correction.Apply(0), 3e-3);
        }
        Assert.Equal(6, procedure.Result!.Checks.Count);
        Assert.All(procedure.Result.Checks, c => Assert.True(c.Passed, c.Step));
        Assert.Equal(positiveUpTo > 0, calibration.Origin!.PositivePoints);
        Assert.Equal(positiveUpTo == 0, calibration.Drive.Extrapolates(12));
        Assert.Equal(3, calibration.Resistors.Count);
        Assert.Equal(3, calibration.Rails.Count);
        Assert.Empty(CalibrationDocument.Parse(CalibrationDocument.Write(calibration)).Refusals);
    }

    [Fact]
    public void Without_a_permit_no_point_is_above_zero()
    {
        Assert.DoesNotContain(BenchOfReadings.Begun().Steps, s => s.Point is { IsPositive: true } || s.Point is { } p && BenchOfReadings.Rig.Drive.ToVolts(p.DriveCode) > 0);
        Assert.Contains(BenchOfReadings.Begun(24).Steps, s => s.Point is { IsPositive: true });
    }

    [Fact]
    public void Every_point_lies_within_what_rig_and_channels_can_do()
    {
        foreach (var point in BenchOfReadings.Begun(26).Steps.Select(s => s.Point).OfType<CalibrationPoint>())
        {
            var volts = BenchOfReadings.Rig.Drive.ToVolts(point.DriveCode);
            Assert.InRange(volts, BenchOfReadings.Rig.HardLimits.DriveFloor.Value, BenchOfReadings.Rig.HardLimits.DriveCeiling.Value);
            var scale = BenchOfReadings.Rig.Channels[(int)CalibrationPoints.ChannelOf(point.Place)];
            Assert.InRange(point.NominalVolts, 0.99 * scale.AtZero.Value, 0.99 * scale.AtFullScale.Value);
            if (point.PlateRailVolts is { } rail) Assert.InRange(rail, 2, 40);
        }
    }

    public static TheoryData<string, double, string> BadReadings => new()
    {
        // drive-2 holds about -11.2 V.
        { "drive-2", 11.2, "reading-sign" },
        { "drive-2", -11_200, "reading-unit" },
        { "drive-2", -0.0112, "reading-unit" },
        { "drive-2", -8.41, "readings-swapped" },
        { "drive-2", -10.2, "reading-implausible" },
        { "drive-2", 80, "reading-out-of-range" },
        { "drive-2", double.NaN, "reading-out-of-range" },
        { "drive-2", double.PositiveInfinity, "reading-out-of-range" },
        { "plate-4", -23.6, "reading-sign" },
        { "plate-4", 16.4, "readings-swapped" },
        { "plate-4", 23_600, "reading-unit" },
        { "plate-4", 24.2, "reading-off-the-line" },
        { "resistor-plate", 10.02, "reading-unit" },
        { "resistor-plate", 4_700, "readings-swapped" },
        { "resistor-plate", 15_000, "reading-out-of-range" },
        { "resistor-screen", -100, "reading-sign" },
        { "rail-bias", 14.02, "reading-sign" },
        { "rail-heater", 6_310, "reading-unit" },
        { "rail-heater", 28, "readings-swapped" },
        { "rail-plate", 20, "reading-out-of-range" },
    };

    [Theory]
    [MemberData(nameof(BadReadings))]
    public void A_reading_that_cannot_be_right_is_refused_with_value_expectation_and_remedy(string stepId, double value, string code)
    {
        var procedure = Bench.Until(stepId);
        var step = procedure.Current;
        var taken = procedure.Take(stepId, value, step.Point is { } point ? Bench.At(point).Held : null);
        var refusal = Assert.Single(taken.Refusals);
        Assert.Equal(code, refusal.Code);
        Assert.Contains(stepId, refusal.Asked, StringComparison.Ordinal);
        Assert.False(string.IsNullOrWhiteSpace(refusal.Allowed) || string.IsNullOrWhiteSpace(refusal.Remedy));
        // Nothing is lost: the same step, read right, is taken.
        _ = Bench.Next(procedure);
    }

    [Fact]
    public void Two_readings_that_are_exchanged_are_found_at_the_first_of_them()
    {
        var procedure = Bench.Until("supply-3");
        var next = procedure.Find("supply-4")!.Point!;
        var exchanged = procedure.Take("supply-3", Bench.At(next).Meter, Bench.At(procedure.Current.Point!).Held);
        var refusal = Assert.Single(exchanged.Refusals);
        Assert.Equal("readings-swapped", refusal.Code);
        Assert.Contains("supply-4", refusal.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public void Neighbouring_points_are_never_so_near_that_an_exchange_goes_unseen()
    {
        foreach (var place in BenchOfReadings.Begun(24).Steps.Select(s => s.Point).OfType<CalibrationPoint>().Where(p => !p.IsCheck).GroupBy(p => p.Place))
        {
            var volts = place.Select(p => p.NominalVolts).Order().ToArray();
            for (var i = 1; i < volts.Length; i++)
                Assert.True(volts[i] - volts[i - 1] > 0.05 * Math.Max(Math.Abs(volts[i]), Math.Abs(volts[i - 1])) + 0.25, $"{place.Key}: {volts[i - 1]} and {volts[i]} V");
        }
    }

    [Fact]
    public void A_channel_that_does_not_follow_or_clips_is_refused()
    {
        var procedure = Bench.Until("grid-2");
        var (held, meter) = Bench.At(procedure.Current.Point!);
        // The tube is still in: the grid is held near the cathode.
        var stuck = held with { Codes = [.. held.Codes.Select((c, i) => i == (int)RigChannel.Grid ? 2048 * 16.0 : c)] };
        Assert.Equal("channel-does-not-follow", Assert.Single(procedure.Take("grid-2", meter, stuck).Refusals).Code);
        Assert.Equal("channel-clipped", Assert.Single(procedure.Take("grid-2", meter, held with { Codes = [.. held.Codes.Select((c, i) => i == (int)RigChannel.Grid ? 1.0 : c)] }).Refusals).Code);
        Assert.Equal("another-point-held", Assert.Single(procedure.Take("grid-2", meter, held with { DriveCode = 5 }).Refusals).Code);
        Assert.Equal("nothing-held", Assert.Single(procedure.Take("grid-2", meter, null).Refusals).Code);
    }

    [Fact]
    public void A_gain_that_no_sound_rig_has_is_refused_at_the_review()
    {
        // 5.5 %: each point by itself is still possible with an offset, the line through them all is not.
        var odd = new BenchOfReadings(Gain: 1.055, OffsetVolts: 0);
        var procedure = odd.Until("review");
        var refusals = procedure.Accept().Refusals;
        Assert.Contains(refusals, r => r.Code == "gain-implausible" && r.Asked.Contains("drive", StringComparison.Ordinal));
        Assert.Equal(6, refusals.Count);
    }

    [Fact]
    public void Steps_out_of_turn_are_refused()
    {
        var procedure = Bench.Until("drive-3");
        Assert.Equal("step-unknown", Assert.Single(procedure.Take("heater-1", 1, null).Refusals).Code);
        Assert.Equal("not-reviewed", Assert.Single(procedure.Take("check-drive", 1, null).Refusals).Code);
        Assert.Equal("readings-missing", Assert.Single(procedure.Accept().Refusals).Code);
        Assert.Equal("not-finished", Assert.Single(procedure.Finish("c", BenchOfReadings.Now, TimeSpan.FromDays(1)).Refusals).Code);
        var reviewed = Bench.Until("check-grid");
        Assert.Equal("already-reviewed", Assert.Single(Bench.Take(reviewed, reviewed.Find("drive-1")!.Point!).Refusals).Code);
    }

    [Fact]
    public void Redo_takes_back_a_place_with_review_and_checks()
    {
        var procedure = Bench.Until("store");
        var redone = procedure.Redo("plate").Value!;
        Assert.Equal("plate-1", redone.Current.Id);
        Assert.False(redone.Reviewed);
        Assert.DoesNotContain(redone.Readings.Keys, k => k.StartsWith("check-", StringComparison.Ordinal) || k.StartsWith("plate-", StringComparison.Ordinal));
        Assert.Contains("grid-1", redone.Readings.Keys);
        Assert.Equal("check-grid", procedure.Redo("check-grid").Value!.Current.Id);
        Assert.Equal("step-unknown", Assert.Single(procedure.Redo("heater").Refusals).Code);
        Assert.Equal("store", Bench.Until("store", redone).Current.Id);
    }

    [Fact]
    public void A_permit_that_ended_lets_the_rest_go_on_up_to_zero()
    {
        var procedure = Bench.Until("drive-positive-3", BenchOfReadings.Begun(24));
        var without = procedure.LeaveOutPositive().Value!;
        Assert.Equal("grid-1", without.Current.Id);
        Assert.DoesNotContain(without.Steps, s => s.Point is { IsPositive: true });
        Assert.Equal(6, without.Readings.Count);
        var calibration = Bench.Until("store", without).Finish("c", BenchOfReadings.Now, TimeSpan.FromDays(1)).Value!;
        Assert.False(calibration.Origin!.PositivePoints);
        Assert.True(calibration.Drive.Extrapolates(5));
        Assert.Equal("no-positive-points", Assert.Single(without.LeaveOutPositive().Refusals).Code);
    }

    [Fact]
    public void A_check_that_fails_keeps_the_calibration_from_being_kept()
    {
        var procedure = Bench.Until("check-plate");
        var (held, meter) = Bench.At(procedure.Current.Point!);
        procedure = Bench.Until("store", procedure.Take("check-plate", meter + 0.06, held).Value!);
        var failed = Assert.Single(procedure.Result!.Checks, c => !c.Passed);
        Assert.Equal("check-plate", failed.Step);
        var refusal = Assert.Single(procedure.Finish("c", BenchOfReadings.Now, TimeSpan.FromDays(1)).Refusals);
        Assert.Equal("check-failed", refusal.Code);
        Assert.Contains("redo plate", refusal.Remedy, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("drive-1")]
    [InlineData("grid-4")]
    [InlineData("resistor-screen")]
    [InlineData("review")]
    [InlineData("check-supply")]
    public void A_procedure_goes_on_from_its_text_as_if_nothing_had_happened(string stepId)
    {
        var procedure = Bench.Until(stepId);
        var again = ProcedureDocument.Read(ProcedureDocument.Write(procedure), BenchOfReadings.Rig).Value!;
        Assert.Equal(stepId, again.Current.Id);
        Assert.Equal(procedure.Readings.Count, again.Readings.Count);
        var straight = Bench.Until("store", procedure).Finish("c", BenchOfReadings.Now, TimeSpan.FromDays(1)).Value!;
        var resumed = Bench.Until("store", again).Finish("c", BenchOfReadings.Now, TimeSpan.FromDays(1)).Value!;
        Assert.Equal(straight.Channels, resumed.Channels);
        Assert.Equal(straight.Drive, resumed.Drive);
        Assert.Equal(straight.Origin, resumed.Origin);
    }

    [Fact]
    public void A_procedure_of_another_rig_is_refused_with_both_serial_numbers()
    {
        var text = ProcedureDocument.Write(Bench.Until("grid-2"));
        var refusal = Assert.Single(ProcedureDocument.Read(text, BenchOfReadings.Rig with { SerialNumber = "RIG-0042" }).Refusals);
        Assert.Equal("calibration-of-another-rig", refusal.Code);
        Assert.Contains(BenchOfReadings.Rig.SerialNumber, refusal.Asked, StringComparison.Ordinal);
        Assert.Contains("RIG-0042", refusal.Allowed, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("{}")]
    [InlineData("{ \"format\": 3 }")]
    [InlineData("not json")]
    public void Damaged_text_is_refused(string text) =>
        Assert.Equal("calibration-damaged", Assert.Single(ProcedureDocument.Read(text, BenchOfReadings.Rig).Refusals).Code);
}
