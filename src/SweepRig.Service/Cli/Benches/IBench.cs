using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Service.Contract;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Cli.Benches;

/// <summary>The bench that a command works with: one in this process, or a running service. Speaks the service's contract either way.</summary>
public interface IBench : IAsyncDisposable
{
    Task<BenchView> StateAsync(CancellationToken cancellationToken);

    Task<Outcome<PermitView>> GrantPermitAsync(PermitRequest request, CancellationToken cancellationToken);

    Task<Outcome<BenchView>> EndPermitAsync(CancellationToken cancellationToken);

    Task<Outcome<BenchView>> MakeSafeAsync(string reason, CancellationToken cancellationToken);

    Task<Outcome<BenchView>> AcknowledgeAsync(CancellationToken cancellationToken);

    Task<Outcome<BenchView>> StopAsync(CancellationToken cancellationToken);

    Task<Outcome<RunView>> StartAsync(SweepRequest request, CancellationToken cancellationToken);

    Task<RunView> RunAsync(string runId, CancellationToken cancellationToken);

    /// <summary>Recorded blocks from a sequence number on; a page of them.</summary>
    Task<LiveBlocksView> BlocksAsync(string runId, long from, CancellationToken cancellationToken);

    Task<CurvesView> CurvesAsync(string runId, CancellationToken cancellationToken);

    Task<RunLevelsView> LevelsAsync(string runId, CancellationToken cancellationToken);

    /// <summary>The screening round under way, or the last one; null before the first.</summary>
    Task<RoundView?> RoundAsync(CancellationToken cancellationToken);

    Task<Outcome<RoundView>> BeginRoundAsync(BeginRoundRequest request, CancellationToken cancellationToken);

    /// <summary>One line of the operator.</summary>
    Task<Outcome<RoundView>> EnterRoundAsync(string text, CancellationToken cancellationToken);

    Task<Outcome<RoundView>> EndRoundAsync(CancellationToken cancellationToken);

    /// <summary>The night under way, or the last one; null before the first.</summary>
    Task<NightView?> NightAsync(CancellationToken cancellationToken);

    /// <summary>How a night would go; paths of refusals begin with /document.</summary>
    Task<Outcome<NightPlanView>> PlanNightAsync(JsonElement document, CancellationToken cancellationToken);

    Task<Outcome<NightView>> BeginNightAsync(JsonElement document, CancellationToken cancellationToken);
}
