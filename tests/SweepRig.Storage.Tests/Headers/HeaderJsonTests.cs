using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;
using SweepRig.Domain.Studies;
using SweepRig.Domain.Tubes;
using SweepRig.Storage.Headers;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests.Headers;

public class HeaderJsonTests
{
    private static StoredHeader Again(RunHeader header)
    {
        var (setup, own) = HeaderJson.WriteParts(header);
        return HeaderJson.ReadHeader(setup, own);
    }

    private static string Golden(string name) => File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "Golden", name));

    [Fact]
    public void The_first_plan_format_is_read_and_written_for_ever()
    {
        var json = Golden("plan-v1.json");
        var plan = HeaderJson.ReadPlan(json);
        var expected = new SweepPlan(
            "Family over the rail", new Volts(-14), new Volts(-0.5), 55, SweepDirection.Down, 500, new Averaging.MainsPeriods(1, 50), null, 3,
            new SecondSource(SteppedSource.PlateRail, new Volts(20), new Volts(28), 5),
            new Connection(ConnectionKind.Triode, new Volts(28), new Volts(-14), new Volts(6.3), new Ohms(10_000), new Ohms(100), new Ohms(4_700)));
        Assert.Equal(expected, plan);
        Assert.Equal(json.TrimEnd(), HeaderJson.WritePlan(expected));
    }

    [Fact]
    public void The_first_header_format_is_read_for_ever()
    {
        var header = HeaderJson.ReadHeader(Golden("header-v1.json"));
        Assert.Equal("0.1.0", header.SoftwareVersion);
        Assert.Equal(new PassHeader(0, PassDirection.Down, 55, 0, 20), header.Passes.Single().ToPass());
        Assert.Equal(new VoltageCorrection(1.001, -0.002, 0.0082, 0.0058), header.Calibration.ToCalibration().Drive);
        var rig = header.Rig.ToIdentity();
        Assert.Equal(Supplies.Heater | Supplies.PlateRail, rig.Supplies);
        Assert.Equal(ResetReason.Watchdog, rig.LastReset);
        Assert.Equal(new Amps(0.008), rig.HardLimits.GridCurrent);
        Assert.Equal(40.96, rig.Channels.Single().AtFullScale.Value);
        Assert.Equal(TimeSpan.FromMinutes(5), header.Permit?.ToPermit().Duration);
    }

    [Fact]
    public void A_step_of_a_screening_is_read_back_and_a_sweep_has_none()
    {
        var header = Support.Examples.Header(permit: Support.Examples.Permit);
        Assert.Null(Again(header).Screening);
        var tag = new ScreeningTag("0195", ScreeningStepKind.ColdRailOff);
        Assert.Equal(tag, Again(header with { Screening = tag }).Screening?.ToTag());
    }

    [Fact]
    public void A_run_of_a_study_is_read_back_and_others_have_none()
    {
        var header = Support.Examples.Header(permit: Support.Examples.Permit);
        Assert.Null(Again(header).Study);
        var tag = new StudyTag("0195", StudyKind.WarmUp, StudyRole.Watch, 17, TimeSpan.FromSeconds(3723.25), "{\"format\":\"study-setup/1\"}");
        Assert.Equal(tag, Again(header with { Study = tag }).Study?.ToTag());
        var (setup, own) = HeaderJson.WriteParts(header with { Study = tag });
        Assert.Equal(tag, HeaderJson.ReadHeader(setup, own).Study?.ToTag());
    }

    [Fact]
    public void Written_headers_hold_no_names_of_types()
    {
        var (setup, own) = HeaderJson.WriteParts(Support.Examples.Header(permit: Support.Examples.Permit));
        var json = setup + own;
        Assert.DoesNotContain("SweepRig.", json, StringComparison.Ordinal);
        Assert.DoesNotContain("$type", json, StringComparison.Ordinal);
    }

    [Fact]
    public void Runs_that_differ_in_permit_and_screening_alone_share_all_else()
    {
        var (one, _) = HeaderJson.WriteParts(Examples.Header(permit: Examples.Permit));
        var (other, own) = HeaderJson.WriteParts(Examples.Header() with { Screening = new("0195", ScreeningStepKind.ColdRailOff) });
        Assert.Equal(one, other);
        Assert.InRange(own.Length, 1, 100);
    }

    [Theory]
    [InlineData("")]
    [InlineData("null")]
    [InlineData("{\"format\":\"run-header/1\"")]
    public void Damage_is_named(string json) => Assert.Throws<InvalidDataException>(() => HeaderJson.ReadHeader(json));

    [Fact]
    public void A_later_format_is_named()
    {
        var later = Golden("header-v1.json").Replace("run-header/1", "run-header/2", StringComparison.Ordinal);
        var fault = Assert.Throws<InvalidDataException>(() => HeaderJson.ReadHeader(later));
        Assert.Contains("run-header/2", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_run_keeps_the_whole_calibration_it_was_made_with()
    {
        var header = Examples.Header() with { Calibration = Examples.Calibration with { IsStale = true } };
        var read = Again(header).Calibration.ToCalibration();
        Assert.Equal(header.Calibration.Channels, read.Channels);
        Assert.Equal(header.Calibration.Drive, read.Drive);
        Assert.Equal(header.Calibration.Resistors, read.Resistors);
        Assert.Equal(header.Calibration.Origin, read.Origin);
        Assert.True(read.IsStale);
    }
}
