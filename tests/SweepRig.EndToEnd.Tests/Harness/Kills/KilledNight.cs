using System.Collections.Concurrent;
using System.Diagnostics;
using System.Globalization;
using System.Net.Http.Json;
using System.Text.Json;
using SweepRig.Service.Contract;

namespace SweepRig.EndToEnd.Tests.Harness.Kills;

/// <summary>A night of short sweeps that goes on over all kills; the next one begins when it is over. Notes which nights and steps the service said to be done.</summary>
public sealed class KilledNight
{
    private const int Jobs = 40;

    private static readonly TimeSpan Limit = TimeSpan.FromSeconds(60);

    /// <summary>What a new process does not show by then was over before.</summary>
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(3);

    private readonly ConcurrentDictionary<string, ConcurrentDictionary<int, bool>> _passed = new(StringComparer.Ordinal);
    private string? _newest;

    public int Passed => _passed.Values.Sum(n => n.Count);

    /// <summary>Waits until a step is under way, having begun a night where none is.</summary>
    /// <returns>What the night said of itself meanwhile; null where the service did not take up one that an earlier service had left.</returns>
    public async Task<IReadOnlyList<string>?> GoOnAsync(HttpClient http)
    {
        var clock = Stopwatch.StartNew();
        List<string> said = [];
        var last = "";
        for (var takenUp = true; ;)
        {
            var night = await NowAsync(http);
            var now = night is null ? "no night" : string.Join(", ", new[] { night.State, night.Doing, night.Held, night.Latest.LastOrDefault()?.Verdict }.Where(w => !string.IsNullOrEmpty(w)));
            if (now != last) said.Add(string.Create(CultureInfo.InvariantCulture, $"{clock.Elapsed.TotalSeconds:0.00} s: {last = now}"));
            if (night is { State: "working" } && night.Jobs.Any(j => j.Running > 0)) return takenUp ? said : null;
            if (night is { State: "over" } || (night is null && (_newest is null || clock.Elapsed > Patience)))
            {
                await BeginAsync(http);
                takenUp = false;
            }
            if (clock.Elapsed > Limit) throw new TimeoutException($"The night does not go on: {night?.State}, {night?.Doing}, {night?.Held}");
            await Task.Delay(TimeSpan.FromMilliseconds(20), TimeProvider.System);
        }
    }

    /// <summary>Notes what the service says to be done, until it is no more.</summary>
    public async Task WatchAsync(HttpClient http, CancellationToken ending)
    {
        try
        {
            while (!ending.IsCancellationRequested)
            {
                if (await NowAsync(http) is { } night)
                    foreach (var step in night.Latest.Where(s => s.State == "passed")) _passed.GetOrAdd(night.Id, _ => new())[step.Step] = true;
                await Task.Delay(TimeSpan.FromMilliseconds(50), TimeProvider.System, ending);
            }
        }
        catch (Exception fault) when (fault is HttpRequestException or IOException or OperationCanceledException or JsonException)
        {
            // It died, as it was to.
        }
    }

    /// <param name="all">Of every night; false for the newest alone, which is the one under way.</param>
    /// <returns>What is no longer done of what was, one line each.</returns>
    public async Task<IReadOnlyList<string>> CompareAsync(HttpClient http, bool all)
    {
        List<string> faults = [];
        foreach (var (id, passed) in _passed.Where(n => all || n.Key == _newest))
        {
            using var answer = await http.GetAsync(new Uri($"/api/nights/{id}/steps", UriKind.Relative));
            if (!answer.IsSuccessStatusCode)
            {
                faults.Add($"Night {id} is gone ({(int)answer.StatusCode})");
                continue;
            }
            var now = (await answer.Content.ReadFromJsonAsync<NightStepsView>())!.Steps.ToDictionary(s => s.Step, s => s.State);
            faults.AddRange(passed.Keys.Where(s => now.GetValueOrDefault(s) != "passed").Select(s => $"Step {s} of night {id} had passed and is {now.GetValueOrDefault(s) ?? "gone"}"));
        }
        return faults;
    }

    private static async Task<NightView?> NowAsync(HttpClient http) => (await http.GetFromJsonAsync<NightStatusView>("/api/night"))!.Night;

    private async Task BeginAsync(HttpClient http)
    {
        _newest = await TestNights.BeginAsync(http, TestNights.Of("gentle-pentode", Jobs));
        _passed.TryAdd(_newest, new());
    }
}
