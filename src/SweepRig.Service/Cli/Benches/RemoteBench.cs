using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Service.Contract;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Cli.Benches;

/// <summary>A bench behind the REST of a running service.</summary>
/// <param name="service">Where it answers.</param>
/// <param name="rig">Which of its rigs is meant; null for the first, and for all where they are to be safe.</param>
public sealed class RemoteBench(RunningService service, string? rig = null) : IBench
{
    // Lenient: a newer service may tell more than this program knows.
    private static readonly JsonSerializerOptions Reading = new(JsonSerializerDefaults.Web);

    private readonly HttpClient _http = new() { BaseAddress = service.Url, Timeout = TimeSpan.FromSeconds(30) };

    /// <summary>All rigs of the service.</summary>
    public Task<RigListView> RigsAsync(CancellationToken cancellationToken) => GetAsync<RigListView>("api/rigs", cancellationToken);

    public Task<BenchView> StateAsync(CancellationToken cancellationToken) => GetAsync<BenchView>(AtRig("api/bench"), cancellationToken);

    /// <summary>That the process answers, and which it is.</summary>
    public Task<LiveView> LiveAsync(CancellationToken cancellationToken) => GetAsync<LiveView>("health/live", cancellationToken);

    public Task<Outcome<PermitView>> GrantPermitAsync(PermitRequest request, CancellationToken cancellationToken) =>
        AskAsync<PermitView>(HttpMethod.Post, AtRig("api/bench/permit"), request, cancellationToken);

    public Task<Outcome<BenchView>> EndPermitAsync(CancellationToken cancellationToken) =>
        AskAsync<BenchView>(HttpMethod.Delete, AtRig("api/bench/permit"), null, cancellationToken);

    public Task<Outcome<BenchView>> MakeSafeAsync(string reason, CancellationToken cancellationToken) =>
        AskAsync<BenchView>(HttpMethod.Post, AtRig("api/bench/safe"), new SafeRequest(reason), cancellationToken);

    public Task<Outcome<BenchView>> AcknowledgeAsync(CancellationToken cancellationToken) =>
        AskAsync<BenchView>(HttpMethod.Post, AtRig("api/bench/acknowledge"), null, cancellationToken);

    public Task<Outcome<BenchView>> StopAsync(CancellationToken cancellationToken) =>
        AskAsync<BenchView>(HttpMethod.Post, AtRig("api/bench/stop"), null, cancellationToken);

    public async Task<Outcome<RunView>> StartAsync(SweepRequest request, CancellationToken cancellationToken)
    {
        var tube = new TubeView(request.Tube.Label, request.Tube.TypeName, request.Tube.Lot);
        var plan = JsonElement.Parse(PlanDocument.Write(request.Plan));
        var started = await AskAsync<RunView>(HttpMethod.Post, AtRig("api/runs"), new StartRunRequest(plan, tube, request.Socket), cancellationToken);
        // Paths as they are in the plan that the user wrote.
        return started.IsAccepted ? started : Outcome<RunView>.Refuse([.. started.Refusals.Select(r => r with { Path = r.Path.StartsWith("/plan", StringComparison.Ordinal) ? r.Path[5..] : r.Path })]);
    }

    public Task<RunView> RunAsync(string runId, CancellationToken cancellationToken) => GetAsync<RunView>($"api/runs/{runId}", cancellationToken);

    public Task<LiveBlocksView> BlocksAsync(string runId, long from, CancellationToken cancellationToken) =>
        GetAsync<LiveBlocksView>($"api/runs/{runId}/blocks?from={from}", cancellationToken);

    public Task<CurvesView> CurvesAsync(string runId, CancellationToken cancellationToken) => GetAsync<CurvesView>($"api/runs/{runId}/curves", cancellationToken);

    public Task<RunLevelsView> LevelsAsync(string runId, CancellationToken cancellationToken) => GetAsync<RunLevelsView>($"api/runs/{runId}/levels", cancellationToken);

    public Task<MorningView> MorningAsync(DateTimeOffset sinceUtc, DateTimeOffset untilUtc, CancellationToken cancellationToken) =>
        GetAsync<MorningView>($"api/morning?since={sinceUtc.UtcDateTime:yyyy-MM-dd'T'HH:mm:ss'Z'}&until={untilUtc.UtcDateTime:yyyy-MM-dd'T'HH:mm:ss'Z'}", cancellationToken);

    public async Task<RoundView?> RoundAsync(CancellationToken cancellationToken) => (await GetAsync<RoundStatusView>(AtRig("api/round"), cancellationToken)).Round;

    public Task<Outcome<RoundView>> BeginRoundAsync(BeginRoundRequest request, CancellationToken cancellationToken) =>
        AskAsync<RoundView>(HttpMethod.Post, AtRig("api/round"), request, cancellationToken);

    public Task<Outcome<RoundView>> EnterRoundAsync(string text, CancellationToken cancellationToken) =>
        AskAsync<RoundView>(HttpMethod.Post, AtRig("api/round/entry"), new RoundEntryRequest(text), cancellationToken);

    public async Task<NightView?> NightAsync(CancellationToken cancellationToken) => (await GetAsync<NightStatusView>(AtRig("api/night"), cancellationToken)).Night;

    public Task<Outcome<NightPlanView>> PlanNightAsync(JsonElement document, CancellationToken cancellationToken) =>
        AskAsync<NightPlanView>(HttpMethod.Post, AtRig("api/nights/plan"), new NightRequest(document), cancellationToken);

    public Task<Outcome<NightView>> BeginNightAsync(JsonElement document, CancellationToken cancellationToken) =>
        AskAsync<NightView>(HttpMethod.Post, AtRig("api/night"), new NightRequest(document), cancellationToken);

    public Task<Outcome<NightView>> HoldNightAsync(string why, CancellationToken cancellationToken) =>
        AskAsync<NightView>(HttpMethod.Post, AtRig("api/night/hold"), new HoldNightRequest(why), cancellationToken);

    public Task<Outcome<NightView>> GoOnWithNightAsync(CancellationToken cancellationToken) => AskAsync<NightView>(HttpMethod.Post, AtRig("api/night/go-on"), null, cancellationToken);

    public Task<Outcome<NightView>> SkipNightJobAsync(string job, CancellationToken cancellationToken) =>
        AskAsync<NightView>(HttpMethod.Post, AtRig("api/night/skip"), new SkipNightJobRequest(job), cancellationToken);

    public Task<Outcome<NightView>> EndNightAsync(CancellationToken cancellationToken) => AskAsync<NightView>(HttpMethod.Delete, AtRig("api/night"), null, cancellationToken);

    public Task<Outcome<RoundView>> EndRoundAsync(CancellationToken cancellationToken) => AskAsync<RoundView>(HttpMethod.Delete, AtRig("api/round"), null, cancellationToken);

    /// <summary>Any act of the calibration desk.</summary>
    /// <param name="what">Last part of its address, for example <c>hold</c>; empty for the desk itself.</param>
    public Task<Outcome<T>> CalibrationAsync<T>(HttpMethod method, string what, object? body, CancellationToken cancellationToken)
        where T : class => AskAsync<T>(method, AtRig(what.Length == 0 ? "api/calibration" : $"api/calibration/{what}"), body, cancellationToken);

    public Task<CalibrationListView> CalibrationsAsync(CancellationToken cancellationToken) => GetAsync<CalibrationListView>("api/calibrations", cancellationToken);

    public Task<Outcome<JsonDocument>> CalibrationDocumentAsync(string id, CancellationToken cancellationToken) =>
        AskAsync<JsonDocument>(HttpMethod.Get, $"api/calibrations/{Uri.EscapeDataString(id)}", null, cancellationToken);

    public Task<Outcome<CalibrationView>> ImportCalibrationAsync(string document, CancellationToken cancellationToken) =>
        AskAsync<CalibrationView>(HttpMethod.Post, AtRig("api/calibrations"), new ImportCalibrationRequest(JsonSerializer.SerializeToElement(document)), cancellationToken);

    public ValueTask DisposeAsync()
    {
        _http.Dispose();
        return ValueTask.CompletedTask;
    }

    private string AtRig(string path) => rig is null ? path : $"{path}?rig={Uri.EscapeDataString(rig)}";

    private async Task<T> GetAsync<T>(string path, CancellationToken cancellationToken)
        where T : class
    {
        var answer = await AskAsync<T>(HttpMethod.Get, path, null, cancellationToken);
        return answer.Value ?? throw new BenchUnreachableException(string.Join(" ", answer.Refusals));
    }

    private async Task<Outcome<T>> AskAsync<T>(HttpMethod method, string path, object? body, CancellationToken cancellationToken)
        where T : class
    {
        try
        {
            using var request = new HttpRequestMessage(method, path);
            if (body is not null) request.Content = JsonContent.Create(body, body.GetType(), options: Reading);
            using var answer = await _http.SendAsync(request, cancellationToken);
            if (answer.IsSuccessStatusCode) return Outcome<T>.Accept((await answer.Content.ReadFromJsonAsync<T>(Reading, cancellationToken))!);
            return Outcome<T>.Refuse(await RefusalsOfAsync(answer, cancellationToken));
        }
        catch (Exception fault) when (fault is HttpRequestException or JsonException || (fault is TaskCanceledException && !cancellationToken.IsCancellationRequested))
        {
            throw new BenchUnreachableException(Unreachable(fault), fault);
        }
    }

    private async Task<IReadOnlyList<Refusal>> RefusalsOfAsync(HttpResponseMessage answer, CancellationToken cancellationToken)
    {
        var problem = await answer.Content.ReadFromJsonAsync<ProblemView>(Reading, cancellationToken);
        if (problem?.Refusals is { Length: > 0 } refusals) return [.. refusals.Select(r => new Refusal(r.Code, r.Path, r.Asked, r.Allowed, r.Remedy))];
        throw new BenchUnreachableException(problem?.Detail ?? $"{service.Url} answered {(int)answer.StatusCode} {answer.ReasonPhrase}. Is that a SweepRig service?");
    }

    private string Unreachable(Exception fault)
    {
        var url = service.Url.GetLeftPart(UriPartial.Authority);
        if (fault is JsonException) return $"What answers at {url} is not a SweepRig service. Check --url.";
        if (fault is TaskCanceledException) return $"The service at {url} does not answer within {_http.Timeout.TotalSeconds:0} s. Look at where it runs.";
        var why = fault is HttpRequestException { StatusCode: null, InnerException: { } inner } ? inner.Message : fault.Message;
        return $"No service answers at {url} ({why.TrimEnd('.')}). Start one with sweeprig serve, or check --url and --data.";
    }
}
