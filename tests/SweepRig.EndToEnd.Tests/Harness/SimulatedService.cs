using System.Net.Http.Json;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace SweepRig.EndToEnd.Tests.Harness;

/// <summary><c>serve</c> as a process with the simulated rig in it, as it is by default, in a data directory of its own.</summary>
public sealed class SimulatedService : IAsyncDisposable
{
    private static readonly TimeSpan StartLimit = TimeSpan.FromSeconds(30);

    private const string AnyPort = "http://127.0.0.1:0";

    private SweepRigProcess _process = null!;

    private readonly IReadOnlyDictionary<string, string> _environment;

    private SimulatedService(IReadOnlyDictionary<string, string> environment) => _environment = environment;

    public string DataDirectory { get; } = Directory.CreateTempSubdirectory("sweeprig-").FullName;

    public string Url { get; private set; } = "";

    public HttpClient Http { get; private set; } = null!;

    /// <param name="prepare">Is given the data directory before the service begins.</param>
    public static async Task<SimulatedService> StartAsync(IReadOnlyDictionary<string, string>? environment = null, Action<string>? prepare = null)
    {
        var service = new SimulatedService(environment ?? new Dictionary<string, string>());
        prepare?.Invoke(service.DataDirectory);
        await service.StartProcessAsync(AnyPort);
        return service;
    }

    /// <summary>Ends it as a power failure would, and starts another on the same data.</summary>
    /// <param name="sameAddress">Where an open page looks for it.</param>
    public async Task KillAndStartAgainAsync(bool sameAddress = false)
    {
        _process.Kill();
        await _process.DisposeAsync();
        await StartProcessAsync(sameAddress ? Url : AnyPort);
    }

    /// <summary>Books tubes of one type in.</summary>
    public async Task BookAsync(string lot, int count, string type)
    {
        using var answer = await Http.PostAsJsonAsync("/api/lots", new { name = lot, count, type });
        answer.EnsureSuccessStatusCode();
    }

    /// <summary>Ends it as Ctrl+C does.</summary>
    public async Task StopAsync()
    {
        await _process.InterruptAsync(StartLimit);
        await _process.DisposeAsync();
    }

    /// <summary>Starts another on the same data directory after <see cref="StopAsync"/>.</summary>
    public Task StartAgainAsync(params string[] arguments) => StartProcessAsync(AnyPort, arguments);

    public async ValueTask DisposeAsync()
    {
        Http.Dispose();
        await _process.DisposeAsync();
        Directory.Delete(DataDirectory, recursive: true);
    }

    private async Task StartProcessAsync(string address, params string[] arguments)
    {
        var note = Path.Combine(DataDirectory, "service.json");
        _process = SweepRigProcess.StartWith(_environment, ["serve", "--data", DataDirectory, "--url", address, "--heater-speed", "60", .. arguments]);
        Url = await Waiting.ForAsync("service.json", StartLimit, () => Task.FromResult(UrlIn(note)));
        Http?.Dispose();
        Http = new HttpClient { BaseAddress = new Uri(Url) };
        await Waiting.UntilAsync("the rig to be connected", StartLimit, async () => (string?)(await Http.GetFromJsonAsync<JsonNode>("/api/bench"))!["link"] == "connected");
    }

    private string? UrlIn(string note)
    {
        if (_process.HasExited) throw new InvalidOperationException("sweeprig ended early:\n" + _process.Output);
        if (!File.Exists(note)) return null;
        try
        {
            var left = JsonNode.Parse(File.ReadAllText(note));
            // By a note of the one before a service knows that it was killed, so that stays where it is.
            return (int?)left?["processId"] == _process.Id ? (string?)left?["url"] : null;
        }
        catch (JsonException)
        {
            // Half written.
            return null;
        }
    }
}
