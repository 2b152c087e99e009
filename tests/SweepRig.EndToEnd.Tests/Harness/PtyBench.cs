using System.Net.Http.Json;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace SweepRig.EndToEnd.Tests.Harness;

/// <summary>
/// A whole bench as separate processes: <c>simulate --pty</c> as the rig, <c>serve --port</c> on that port, in a directory of its own.
/// </summary>
public sealed class PtyBench : IAsyncDisposable
{
    private static readonly TimeSpan StartLimit = TimeSpan.FromSeconds(30);

    private PtyBench(string directory) => Directory = directory;

    public string Directory { get; }

    public string PtyPath => Path.Combine(Directory, "rig");

    public string JournalPath => Path.Combine(Directory, "journal.jsonl");

    public string DataDirectory => Path.Combine(Directory, "data");

    public SweepRigProcess Rig { get; private set; } = null!;

    public SweepRigProcess Service { get; private set; } = null!;

    public HttpClient Http { get; private set; } = null!;

    public string Url { get; private set; } = "";

    public static async Task<PtyBench> StartAsync(params string[] simulateOptions)
    {
        var bench = new PtyBench(System.IO.Directory.CreateTempSubdirectory("sweeprig-").FullName);
        await bench.StartRigAsync(simulateOptions);
        await bench.StartServiceAsync();
        return bench;
    }

    public async Task StartRigAsync(params string[] simulateOptions)
    {
        Rig = SweepRigProcess.Start(["simulate", "--pty", PtyPath, "--journal", JournalPath, "--heater-speed", "60", .. simulateOptions]);
        await Waiting.UntilAsync("the simulated rig's pty", StartLimit, () => Task.FromResult(File.Exists(PtyPath) || Failed(Rig)));
    }

    public async Task StartServiceAsync()
    {
        Service = SweepRigProcess.Start("serve", "--port", PtyPath, "--data", DataDirectory, "--url", "http://127.0.0.1:0", "--heater-speed", "60");
        var note = Path.Combine(DataDirectory, "service.json");
        Url = await Waiting.ForAsync("service.json", StartLimit, () => Task.FromResult(Failed(Service) ? null : ReadUrl(note)));
        Http = new HttpClient { BaseAddress = new Uri(Url) };
        await UntilBenchAsync("the rig to be connected", b => (string?)b["link"] == "connected");
    }

    public async Task<JsonNode> BenchAsync() => (await Http.GetFromJsonAsync<JsonNode>("/api/bench"))!;

    public Task<JsonNode> UntilBenchAsync(string what, Func<JsonNode, bool> condition, double seconds = 30) =>
        Waiting.ForAsync(what, TimeSpan.FromSeconds(seconds), async () => await BenchAsync() is { } bench && condition(bench) ? bench : null);

    public Task<JsonNode> UntilRunAsync(string runId, Func<JsonNode, bool> condition, double seconds = 60) =>
        Waiting.ForAsync($"run {runId}", TimeSpan.FromSeconds(seconds), async () =>
            await Http.GetFromJsonAsync<JsonNode>($"/api/runs/{runId}") is { } run && condition(run) ? run : null);

    /// <summary>Starts a run and returns its id; fails with the refusal's text.</summary>
    public async Task<string> StartRunAsync(JsonNode plan, string tube = "SKUA-014", string type = "6AU6")
    {
        using var answer = await Http.PostAsJsonAsync("/api/runs", new { plan, tube = new { label = tube, type, lot = "SKUA" }, socket = 0 });
        var text = await answer.Content.ReadAsStringAsync();
        if (!answer.IsSuccessStatusCode) throw new InvalidOperationException($"{(int)answer.StatusCode}: {text}");
        return (string?)JsonNode.Parse(text)!["id"] ?? answer.Headers.Location!.ToString().Split('/')[^1];
    }

    /// <summary>The physical floor that the service states for a plan, in seconds.</summary>
    public async Task<double> FloorSecondsAsync(JsonNode plan)
    {
        using var answer = await Http.PostAsJsonAsync("/api/plans/check", new { plan });
        answer.EnsureSuccessStatusCode();
        return (double)JsonNode.Parse(await answer.Content.ReadAsStringAsync())!["floorSeconds"]!;
    }

    public async Task GrantPermitAsync(double ceilingVolts, double seconds)
    {
        using var answer = await Http.PostAsJsonAsync("/api/bench/permit", new { ceilingVolts, durationSeconds = seconds, reason = "fold-back check" });
        answer.EnsureSuccessStatusCode();
    }

    /// <summary>The rig's own record, a JSON object a line.</summary>
    public IReadOnlyList<JsonElement> Journal()
    {
        using var stream = new FileStream(JournalPath, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
        using var reader = new StreamReader(stream);
        var entries = new List<JsonElement>();
        while (reader.ReadLine() is { } line)
        {
            if (line.EndsWith('}')) entries.Add(JsonDocument.Parse(line).RootElement.Clone());
        }
        return entries;
    }

    public async ValueTask DisposeAsync()
    {
        Http?.Dispose();
        if (Service is not null) await Service.DisposeAsync();
        if (Rig is not null) await Rig.DisposeAsync();
        System.IO.Directory.Delete(Directory, recursive: true);
    }

    private static bool Failed(SweepRigProcess process) =>
        process.HasExited ? throw new InvalidOperationException("sweeprig ended early:\n" + process.Output) : false;

    private static string? ReadUrl(string path)
    {
        if (!File.Exists(path)) return null;
        try
        {
            return (string?)JsonNode.Parse(File.ReadAllText(path))?["url"];
        }
        catch (JsonException)
        {
            return null;
        }
    }
}
