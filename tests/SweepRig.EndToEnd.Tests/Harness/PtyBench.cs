using System.Net.Http.Json;
using System.Text.Json;
using System.Text.Json.Nodes;
using SweepRig.Rigs.Simulated;
using SweepRig.Wire.Line;

namespace SweepRig.EndToEnd.Tests.Harness;

/// <summary>
/// A whole bench in a directory of its own: a simulated rig on a pseudo-terminal, in this process or as <c>simulate --pty</c>, and
/// <c>serve --port</c> as a process on that port.
/// </summary>
public sealed class PtyBench : IAsyncDisposable
{
    /// <summary>A cathode is warm after 40 s of life; this makes it less than a second.</summary>
    public const double HeaterSpeed = 60;

    private static readonly TimeSpan StartLimit = TimeSpan.FromSeconds(30);

    private SmallDisk? _disk;
    private IAsyncDisposable? _otherRig;

    private PtyBench(string directory) => Directory = directory;

    public string Directory { get; }

    public string PtyPath => Path.Combine(Directory, "rig");

    private string FarPath => Path.Combine(Directory, "far");

    public string DataDirectory => Path.Combine(Directory, "data");

    /// <summary>The rig as a process; null when it runs in this one.</summary>
    public SweepRigProcess? RigProcess { get; private set; }

    /// <summary>The cable between them; null when the service is on the rig's own pseudo-terminal.</summary>
    public PtyCable? Cable { get; private set; }

    /// <summary>The rig in this process; null when it is a process of its own.</summary>
    public InProcessRig? Rig { get; private set; }

    public SweepRigProcess Service { get; private set; } = null!;

    public HttpClient Http { get; private set; } = null!;

    public string Url { get; private set; } = "";

    /// <summary>Rig and service as two processes.</summary>
    public static async Task<PtyBench> StartAsync()
    {
        var bench = new PtyBench(System.IO.Directory.CreateTempSubdirectory("sweeprig-").FullName);
        return await bench.StartedAsync(async () =>
        {
            bench.RigProcess = SweepRigProcess.Start("simulate", "--pty", bench.PtyPath, "--heater-speed", $"{HeaterSpeed}");
            await Waiting.UntilAsync("the simulated rig's pty", StartLimit, () => Task.FromResult(File.Exists(bench.PtyPath) || Failed(bench.RigProcess)));
        });
    }

    /// <summary>Rig and service as two processes, and between their pseudo-terminals a cable of this one.</summary>
    public static async Task<PtyBench> StartAsync(LineRates toRig, LineRates toHost, int seed)
    {
        var bench = new PtyBench(System.IO.Directory.CreateTempSubdirectory("sweeprig-").FullName);
        bench.RigProcess = SweepRigProcess.Start("simulate", "--pty", bench.FarPath, "--heater-speed", $"{HeaterSpeed}");
        await Waiting.UntilAsync("the simulated rig's pty", StartLimit, () => Task.FromResult(File.Exists(bench.FarPath) || Failed(bench.RigProcess)));
        bench.Cable = new PtyCable(bench.FarPath, bench.PtyPath, new(toRig, seed), new(toHost, seed + 1));
        await bench.Cable.PlugInAsync();
        await bench.StartServiceAsync();
        return bench;
    }

    /// <summary>The rig in this process, the service as another.</summary>
    public static async Task<PtyBench> StartWithRigHereAsync(SimulatedRigOptions? options = null, int? dataOnDiskOfKilobytes = null)
    {
        var bench = new PtyBench(System.IO.Directory.CreateTempSubdirectory("sweeprig-").FullName);
        if (dataOnDiskOfKilobytes is { } size) bench._disk = await SmallDisk.MountAsync(bench.DataDirectory, size);
        return await bench.StartedAsync(() =>
        {
            bench.Rig = new InProcessRig(bench.PtyPath, options ?? new SimulatedRigOptions { HeaterSpeed = HeaterSpeed });
            return Task.CompletedTask;
        });
    }

    /// <summary>Any rig that puts itself on the bench's port, and the service as a process.</summary>
    /// <param name="startRig">Starts it; the argument is the path of its port. It is disposed with the bench.</param>
    public static async Task<PtyBench> StartWithAsync(Func<string, IAsyncDisposable> startRig)
    {
        var bench = new PtyBench(System.IO.Directory.CreateTempSubdirectory("sweeprig-").FullName);
        return await bench.StartedAsync(async () =>
        {
            bench._otherRig = startRig(bench.PtyPath);
            await Waiting.UntilAsync("the rig's port", StartLimit, () => Task.FromResult(File.Exists(bench.PtyPath)));
        });
    }

    /// <summary>Starts the service, also again after it was ended.</summary>
    public async Task StartServiceAsync()
    {
        var note = Path.Combine(DataDirectory, "service.json");
        if (File.Exists(note)) File.Delete(note);
        Service = SweepRigProcess.Start(
            "serve", "--port", PtyPath, "--data", DataDirectory, "--url", "http://127.0.0.1:0", "--heater-speed", $"{HeaterSpeed}");
        Url = await Waiting.ForAsync("service.json", StartLimit, () => Task.FromResult(Failed(Service) ? null : ReadUrl(note)));
        Http?.Dispose();
        Http = new HttpClient { BaseAddress = new Uri(Url) };
        await UntilBenchAsync("the rig to be connected", b => (string?)b["link"] == "connected");
    }

    public async Task<JsonNode> BenchAsync() => (await Http.GetFromJsonAsync<JsonNode>("/api/bench"))!;

    public Task<JsonNode> UntilBenchAsync(string what, Func<JsonNode, bool> condition, double seconds = 30) =>
        Waiting.ForAsync(what, TimeSpan.FromSeconds(seconds), async () => await BenchAsync() is { } bench && condition(bench) ? bench : null);

    public async Task<JsonNode> UntilRunAsync(string runId, Func<JsonNode, bool> condition, double seconds = 60)
    {
        JsonNode? last = null;
        try
        {
            return await Waiting.ForAsync($"run {runId}", TimeSpan.FromSeconds(seconds), async () =>
                (last = await Http.GetFromJsonAsync<JsonNode>($"/api/runs/{runId}")) is { } run && condition(run) ? run : null);
        }
        catch (TimeoutException fault)
        {
            throw new TimeoutException($"{fault.Message} It is {last?["state"]} with {last?["samples"]} samples; trips: {last?["trips"]?.ToJsonString()}.", fault);
        }
    }

    /// <summary>Asks for a run; returns the status code and the answer, whatever it is.</summary>
    public async Task<(int Status, JsonNode Answer)> AskForRunAsync(JsonNode plan, int socket = 0)
    {
        using var answer = await Http.PostAsJsonAsync("/api/runs", new { plan, tube = new { label = "SKUA-014", type = "6AU6", lot = "SKUA" }, socket });
        return ((int)answer.StatusCode, JsonNode.Parse(await answer.Content.ReadAsStringAsync())!);
    }

    /// <summary>Starts a run and returns its id; fails with the refusal's text.</summary>
    public async Task<string> StartRunAsync(JsonNode plan)
    {
        var (status, answer) = await AskForRunAsync(plan);
        return status == 202 ? (string)answer["id"]! : throw new InvalidOperationException($"{status}: {answer}");
    }

    /// <summary>The physical floor that the service states for a plan, in seconds.</summary>
    public async Task<double> FloorSecondsAsync(JsonNode plan)
    {
        using var answer = await Http.PostAsJsonAsync("/api/plans/check", new { plan });
        answer.EnsureSuccessStatusCode();
        return (double)JsonNode.Parse(await answer.Content.ReadAsStringAsync())!["floorSeconds"]!;
    }

    public async Task<int> PostAsync(string path, object? body = null)
    {
        using var answer = await Http.PostAsJsonAsync(path, body ?? new { });
        return (int)answer.StatusCode;
    }

    public Task<int> GrantPermitAsync(double ceilingVolts, double seconds) =>
        PostAsync("/api/bench/permit", new { ceilingVolts, durationSeconds = seconds, reason = "fold-back check" });

    public async ValueTask DisposeAsync()
    {
        Http?.Dispose();
        if (Service is not null) await Service.DisposeAsync();
        if (Cable is not null) await Cable.DisposeAsync();
        if (RigProcess is not null) await RigProcess.DisposeAsync();
        if (Rig is not null) await Rig.DisposeAsync();
        if (_otherRig is not null) await _otherRig.DisposeAsync();
        if (_disk is not null) await _disk.DisposeAsync();
        System.IO.Directory.Delete(Directory, recursive: true);
    }

    // A service left behind would look for its rig for ever, and find that of a later test when the system gives the pseudo-terminal's number again.
    private async Task<PtyBench> StartedAsync(Func<Task> startRig)
    {
        try
        {
            await startRig();
            await StartServiceAsync();
            return this;
        }
        catch
        {
            await DisposeAsync();
            throw;
        }
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
