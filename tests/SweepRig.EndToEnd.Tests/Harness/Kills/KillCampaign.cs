using System.Net;
using System.Net.Http.Json;
using System.Text;
using System.Text.Json.Nodes;
using Microsoft.Data.Sqlite;
using SweepRig.Service.Contract;

namespace SweepRig.EndToEnd.Tests.Harness.Kills;

/// <summary>
/// Starts a service, lets it sweep, kills it at a moment that nobody chose, and starts it again, many times on one data directory. After each start what the one
/// before had acknowledged is read back and compared.
/// </summary>
/// <param name="executable">The service.</param>
/// <param name="directory">Data directory, empty at first.</param>
/// <param name="seed">Of the moments.</param>
/// <param name="ofNight">The sweeps are the work of a night, which the next start takes up; otherwise each is asked for.</param>
public sealed class KillCampaign(string executable, string directory, int seed, bool ofNight)
{
    /// <summary>One kill of this many comes while the service starts: then it migrates, marks what was interrupted, takes the lock.</summary>
    private const int OneOfStarts = 5;

    /// <summary>A sweep of half a second, its end and the packing after it lie within.</summary>
    private const int LongestLifeMilliseconds = 800;

    private static readonly string Plan = $$$"""{"plan":{{{TestPlans.Short.ToJsonString()}}},"tube":{"label":"SKUA-014","type":"6AU6"}}""";

    private readonly Acknowledged _acknowledged = new();
    private readonly List<string> _faults = [];
    private readonly List<TimeSpan> _answers = [];
    private readonly List<NightTakenUp> _takenUp = [];
    private readonly HashSet<string> _compared = new(StringComparer.Ordinal);
    private readonly KilledNight? _night = ofNight ? new() : null;
    private readonly Random _random = new(seed);

    public async Task<KillReport> RunAsync(int kills)
    {
        var whileStarting = 0;
        for (var i = 0; i < kills; i++)
        {
            await using var service = KilledService.Start(executable, directory);
            if (_answers.Count > 0 && _random.Next(OneOfStarts) == 0)
            {
                whileStarting++;
                await service.KillAsync(_answers[^1] * _random.NextDouble());
                continue;
            }
            if (await ReadBackAsync(service)) await LiveAndDieAsync(service);
            else await service.KillAsync(TimeSpan.Zero);
        }
        await using (var last = KilledService.Start(executable, directory))
        {
            // All of them once more: nothing that came later has harmed what was good.
            _compared.Clear();
            await ReadBackAsync(last, all: true);
        }
        CheckFile();
        return new(kills, whileStarting, _acknowledged.Runs, _acknowledged.Samples, _acknowledged.Complete, _night?.Passed ?? 0, _faults, _answers, _takenUp);
    }

    /// <returns>False when the service did not come up.</returns>
    private async Task<bool> ReadBackAsync(KilledService service, bool all = false)
    {
        try
        {
            _answers.Add(await service.AnswerAsync());
            if (_night is not null)
            {
                if (await _night.GoOnAsync(service.Http) is { } said) _takenUp.Add(new(service.Age, _answers[^1], said));
                _faults.AddRange(await _night.CompareAsync(service.Http, all));
            }
            foreach (var id in _acknowledged.Ids.Where(_compared.Add)) _faults.AddRange(_acknowledged.Compare(id, await RunAsync(service.Http, id), await BlocksAsync(service.Http, id)));
            return true;
        }
        catch (Exception fault) when (fault is HttpRequestException or InvalidOperationException or TimeoutException or OperationCanceledException)
        {
            _faults.Add($"A start after a kill failed: {fault.Message}");
            return false;
        }
    }

    private async Task LiveAndDieAsync(KilledService service)
    {
        var next = new SemaphoreSlim(1);
        await using var hub = await _acknowledged.WatchAsync(service.Url, _ => next.Release());
        using var ending = new CancellationTokenSource();
        var sweeping = _night?.WatchAsync(service.Http, ending.Token) ?? SweepAsync(service.Http, next, ending.Token);
        await service.KillAsync(TimeSpan.FromMilliseconds(_random.NextDouble() * LongestLifeMilliseconds));
        await ending.CancelAsync();
        await sweeping;
        await hub.StopAsync();
    }

    /// <summary>One sweep after another, until the service is no more.</summary>
    private async Task SweepAsync(HttpClient http, SemaphoreSlim next, CancellationToken ending)
    {
        try
        {
            while (true)
            {
                await next.WaitAsync(ending);
                using var content = new StringContent(Plan, Encoding.UTF8, "application/json");
                using var answer = await http.PostAsync(new Uri("/api/runs", UriKind.Relative), content, ending);
                var body = await answer.Content.ReadAsStringAsync(ending);
                if (answer.IsSuccessStatusCode) _acknowledged.Run((string)JsonNode.Parse(body)!["id"]!);
                else _faults.Add($"A sweep was refused after a start: {body}");
            }
        }
        catch (Exception fault) when (fault is HttpRequestException or IOException or OperationCanceledException)
        {
            // It died, as it was to.
        }
    }

    private static async Task<RunView?> RunAsync(HttpClient http, string id)
    {
        using var answer = await http.GetAsync(new Uri($"/api/runs/{id}", UriKind.Relative));
        if (answer.StatusCode == HttpStatusCode.NotFound) return null;
        answer.EnsureSuccessStatusCode();
        return await answer.Content.ReadFromJsonAsync<RunView>();
    }

    private static async Task<IReadOnlyList<LiveBlockView>> BlocksAsync(HttpClient http, string id)
    {
        List<LiveBlockView> blocks = [];
        for (long? from = 0; from is not null;)
        {
            using var answer = await http.GetAsync(new Uri($"/api/runs/{id}/blocks?from={from}", UriKind.Relative));
            if (answer.StatusCode == HttpStatusCode.NotFound) break;
            answer.EnsureSuccessStatusCode();
            var page = (await answer.Content.ReadFromJsonAsync<LiveBlocksView>())!;
            blocks.AddRange(page.Blocks);
            from = page.NextSequence;
        }
        return blocks;
    }

    // https://www.sqlite.org/pragma.html#pragma_integrity_check: one row "ok", or the faults.
    private void CheckFile()
    {
        using var connection = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = Path.Combine(directory, "runs.db"), Pooling = false }.ToString());
        connection.Open();
        using var check = connection.CreateCommand();
        check.CommandText = "PRAGMA integrity_check;";
        if (check.ExecuteScalar() is not "ok") _faults.Add("The store is damaged.");
    }
}
