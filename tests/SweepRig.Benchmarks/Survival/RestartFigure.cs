using System.Diagnostics;
using SweepRig.EndToEnd.Tests.Harness;
using SweepRig.EndToEnd.Tests.Harness.Kills;

namespace SweepRig.Benchmarks.Survival;

/// <summary>
/// How long after a kill -9 in the middle of a night the queue runs again: from the start of the next process until it has taken the night's document up and ordered its next step. The heater warms
/// after that, which is physics. Alone on the machine, on the self-contained build that a bench runs.
/// </summary>
public static class RestartFigure
{
    private const int Restarts = 100, OfBuilt = 20, Commands = 5, Scrapes = 20;

    private static readonly TimeSpan Limit = TimeSpan.FromSeconds(5), Life = TimeSpan.FromMilliseconds(400);

    public static async Task<FigureLine> MeasureAsync()
    {
        using var published = await PublishedService.MakeAsync();
        var version = new List<double>();
        for (var i = 0; i < Commands; i++)
        {
            var (exit, took) = await published.RunAsync("--version");
            if (exit != 0) throw new InvalidOperationException($"--version of the self-contained build ended with {exit}.");
            version.Add(took.TotalMilliseconds);
        }
        var (bad, doctor) = await ExaminedAsync(published);
        var (seconds, scrape) = await RestartAsync(published.Executable, Restarts);
        var (built, _) = await RestartAsync(Repository.Executable, OfBuilt);
        var longest = Percentile.Of(seconds, 99);
        return new(
            "restart",
            $"queue runs {FigureLine.Text(Percentile.Of(seconds, 50))} s after the start in the middle, {FigureLine.Text(longest)} s at the 99th percentile, {FigureLine.Text(seconds.Max())} s at most of {Restarts}; "
                + $"--version in {FigureLine.Text(Percentile.Of(version, 50), "0")} ms, doctor in {FigureLine.Text(doctor.TotalMilliseconds, "0")} ms; what a night tells Prometheus is worked out in {FigureLine.Text(scrape, "0.#")} ms, when it asks",
            $"99th percentile under {Limit.TotalSeconds:0} s",
            $"as built without publishing {FigureLine.Text(Percentile.Of(built, 50))} s in the middle; program {FigureLine.Text(published.Bytes / 1e6, "0")} MB, packed {FigureLine.Text(published.PackedBytes / 1e6, "0")} MB",
            longest < Limit.TotalSeconds && !bad);
    }

    private static async Task<(bool Bad, TimeSpan Took)> ExaminedAsync(PublishedService published)
    {
        var data = Directory.CreateTempSubdirectory("sweeprig-restart-");
        try
        {
            // 1 is something that does not work on this computer, which the doctor has found; all else is a fault of the build.
            var (exit, took) = await published.RunAsync("doctor", "--data", data.FullName);
            return (exit is not (0 or 1), took);
        }
        finally
        {
            data.Delete(recursive: true);
        }
    }

    /// <returns>Seconds of each restart, and milliseconds of an answer to Prometheus in the middle.</returns>
    private static async Task<(double[] Seconds, double Scrape)> RestartAsync(string executable, int restarts)
    {
        var data = Directory.CreateTempSubdirectory("sweeprig-restart-");
        try
        {
            var night = new KilledNight();
            var (seconds, scrapes) = (new List<double>(), new List<double>());
            // The first makes the store and begins the night.
            for (var i = 0; i <= restarts; i++)
            {
                await using var service = KilledService.Start(executable, data.FullName);
                await service.AnswerAsync();
                if (await night.GoOnAsync(service.Http) is not null && i > 0) seconds.Add(service.Age.TotalSeconds);
                if (i == restarts)
                {
                    for (var s = 0; s < Scrapes; s++) scrapes.Add(await ScrapeAsync(service.Http));
                }
                await service.KillAsync(Life);
            }
            return ([.. seconds], Percentile.Of(scrapes, 50));
        }
        finally
        {
            data.Delete(recursive: true);
        }
    }

    /// <returns>Milliseconds.</returns>
    private static async Task<double> ScrapeAsync(HttpClient http)
    {
        // An answer is kept for 300 ms, for several that ask at once.
        await Task.Delay(Life, TimeProvider.System);
        var clock = Stopwatch.StartNew();
        await http.GetStringAsync(new Uri("/metrics", UriKind.Relative));
        return clock.Elapsed.TotalMilliseconds;
    }
}
