using System.Diagnostics;
using System.Net.Http.Json;
using System.Text.Json.Nodes;
using SweepRig.Service.Contract;

namespace SweepRig.EndToEnd.Tests.Harness.Kills;

/// <summary>One <c>serve</c> with a simulated rig, to be killed.</summary>
public sealed class KilledService : IAsyncDisposable
{
    private static readonly TimeSpan StartLimit = TimeSpan.FromSeconds(60);

    private readonly Process _process;
    private readonly Stopwatch _clock;

    private KilledService(Process process, Stopwatch clock) => (_process, _clock) = (process, clock);

    public HttpClient Http { get; private set; } = null!;

    public string Url { get; private set; } = "";

    /// <summary>Since its start.</summary>
    public TimeSpan Age => _clock.Elapsed;

    public static KilledService Start(string executable, string directory)
    {
        var start = Precedence.Of(executable, ["serve", "--json", "--data", directory, "--url", "http://127.0.0.1:0", "--heater-speed", "1000"]);
        start.RedirectStandardOutput = true;
        start.Environment["NO_COLOR"] = "1";
        var clock = Stopwatch.StartNew();
        return new(Process.Start(start)!, clock);
    }

    /// <summary>Waits until it answers with its rig connected.</summary>
    /// <returns>How long that took, from the start of the process to its first answer.</returns>
    public async Task<TimeSpan> AnswerAsync()
    {
        using var limit = new CancellationTokenSource(StartLimit);
        List<string> lines = [];
        // The document is indented, and its last line alone stands at the margin.
        while (lines is [] or [.., not "}"]) lines.Add(await _process.StandardOutput.ReadLineAsync(limit.Token) ?? throw new InvalidOperationException("The service ended while it started."));
        Url = (string)JsonNode.Parse(string.Join('\n', lines))!["url"]!;
        Http = new HttpClient { BaseAddress = new Uri(Url) };
        using var answer = await Http.GetAsync(new Uri("/health/live", UriKind.Relative), limit.Token);
        answer.EnsureSuccessStatusCode();
        var took = _clock.Elapsed;
        await Waiting.UntilAsync("the rig to be connected", StartLimit, async () => (await Http.GetFromJsonAsync<BenchView>("/api/bench", limit.Token))!.Link == "connected");
        return took;
    }

    /// <summary>SIGKILL, after a time from now or at once.</summary>
    public async Task KillAsync(TimeSpan after)
    {
        if (after > TimeSpan.Zero) await Task.Delay(after, TimeProvider.System);
        _process.Kill();
        await _process.WaitForExitAsync();
    }

    public async ValueTask DisposeAsync()
    {
        Http?.Dispose();
        if (!_process.HasExited)
        {
            _process.Kill();
            await _process.WaitForExitAsync();
        }
        _process.Dispose();
    }
}
