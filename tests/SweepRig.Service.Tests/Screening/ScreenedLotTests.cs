using SweepRig.Analysis.Health;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Tests.Support;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;

namespace SweepRig.Service.Tests.Screening;

/// <summary>A small lot through program, runner, link and simulated rig. The whole lot of 60 is the figure health-confusion.</summary>
[Collection(RealTime.Name)]
public sealed class ScreenedLotTests
{
    [Fact]
    public async Task Every_defect_that_shows_is_found_and_no_sound_tube_is_called_bad()
    {
        DefectKind[] kinds = [.. new[] { "short-g1-g2", "gas", "low-emission", "noisy-contact", "cathode-interface" }.Select(n => DefectKinds.Find(n)!)];
        var lot = TubeLot.Draw(new LotRecipe("SKUA", ExampleTubes.Sound6AU6, 8, kinds.Length) { Kinds = kinds }, 11);
        var tubes = await ScreenedLot.ScreenAsync(lot, "6AU6", 2);
        Assert.All(tubes, t => Assert.False(t.IsMissed, $"{t.Truth.Label} {t.Truth.Fault}: {t.Report.Verdict} {string.Join("; ", t.Report.Reasons)}"));
        Assert.All(tubes, t => Assert.False(t.IsFalseAlarm, $"{t.Truth.Label}: {string.Join("; ", t.Report.Reasons)}"));
        var sound = tubes.First(t => !t.IsDefective).Report;
        Assert.Contains(sound.NotSeen, l => l.Contains("heater current", StringComparison.Ordinal));
        Assert.Contains(sound.NotSeen, l => l.StartsWith("heater to cathode", StringComparison.Ordinal));
        Assert.All(sound.Items, i => Assert.False(string.IsNullOrEmpty(i.Source)));
    }

    [Fact]
    public async Task In_triode_connection_what_cannot_be_told_apart_is_said()
    {
        var report = await ScreenedTube.ScreenAsync("SKUA-014", "6AU6", new(ExampleTubes.Sound6AU6, TubeBehaviour.None), 3, ConnectionKind.Triode);
        Assert.Equal(HealthVerdict.NotSeen, report.Items.Single(i => i.Name == "short-screen-plate").Verdict);
        Assert.True(report.Verdict == HealthVerdict.Good, string.Join("; ", report.Reasons));
    }
}
