using SweepRig.Service.Mornings;
using SweepRig.Service.Nights;
using SweepRig.Storage;

namespace SweepRig.Service.Tests.Mornings;

public sealed class MorningNightsTests
{
    private static readonly DateTimeOffset Begun = new(2026, 11, 26, 20, 0, 0, TimeSpan.Zero);

    private const string Document = """
        {
          "format": "night/1", "name": "Skua", "timeZone": "Etc/UTC", "window": { "from": "20:00", "to": "05:00" }, "sockets": [{ "socket": 0, "tube": "SKUA-014", "type": "6AU6" }],
          "jobs": [{ "name": "sweeps", "do": "sweep", "plan": "gentle-pentode" }, { "name": "again", "do": "sweep", "plan": "gentle-pentode" }], "limits": { "heaterHours": 4, "positiveMillicoulombs": 50 }
        }
        """;

    [Fact]
    public void Each_job_stands_with_when_it_was_predicted_and_when_it_happened()
    {
        var forecast = NightRecords.Write(new ForecastDocument([new(0, 0, 40, 100), new(1, 100, 140, 200), new(2, 200, 240, 300)], 300, 300, 0, 0.3, 1.9, 0.01, 0.3));
        var progress = NightRecords.Write(new NightProgress(400, 5400, 0.012, 1, new Dictionary<int, string>(), null, false, 1, "SIM-0001"));
        var night = new StoredNight("019abc", "rig-1", "Skua", Begun, null, null, Document, "[]", forecast, progress);
        var view = MorningNights.Of(night,
        [
            Step(0, 1, "sweeps", "again", 10, 60), Step(0, 2, "sweeps", "passed", 60, 160), Step(1, 1, "sweeps", "failed", 160, 260), Step(2, 1, "again", StoredNightStep.Running, 260, null),
        ]);
        Assert.Equal((5400.0, 14_400.0, 12.0, 50.0), (view.HeaterSeconds, view.HeaterLimitSeconds, view.Millicoulombs!.Value, view.MillicoulombLimit!.Value));
        Assert.Equal(
            ["sweeps 2 1 1 2026-11-26T20:00:00.000Z 2026-11-26T20:03:20.000Z 2026-11-26T20:01:00.000Z 2026-11-26T20:04:20.000Z", "again 1 0 0 2026-11-26T20:03:20.000Z 2026-11-26T20:05:00.000Z 2026-11-26T20:04:20.000Z "],
            view.Jobs.Select(j => $"{j.Job} {j.Steps} {j.Passed} {j.Failed} {j.PredictedBeginUtc} {j.PredictedEndUtc} {j.BeganUtc} {j.EndedUtc}"));
    }

    [Fact]
    public void A_night_whose_texts_are_of_another_version_is_told_without_them()
    {
        var view = MorningNights.Of(new("019abc", "rig-1", "Skua", Begun, Begun.AddHours(1), "all is done", "{}", "[]", NightRecords.Write(new ForecastDocument([], 0, 0, 0, null, null, 0, 0)), "?"), []);
        Assert.Equal((null, "all is done"), (view.HeaterSeconds, view.EndedBecause));
    }

    private static StoredNightStep Step(int step, int attempt, string job, string state, double began, double? ended) =>
        new(step, attempt, job, 0, 0, "SKUA-014", state, TimeSpan.FromSeconds(began), ended is { } e ? TimeSpan.FromSeconds(e) : null, null, [], 0);
}
