using System.Collections.Concurrent;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Analysis.Health;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Simulated;
using SweepRig.Sweeps.Running;
using SweepRig.Sweeps.Screening;
using SweepRig.Tubes.Lots;

namespace SweepRig.Service.Tests.Screening;

/// <summary>
/// One simulated tube through the whole screening as a user's would go: program, runner, link and rig, the rig's clock running ahead of ours. The rig is told the
/// specimen alone; what is really wrong with it stays with the caller.
/// </summary>
public static class ScreenedTube
{
    private static readonly Connection Fixture = new(ConnectionKind.Pentode, new(28), new(-14), new(6.3), new(10_000), new(100), new(4_700));
    private static readonly TimeSpan Deadline = TimeSpan.FromMinutes(5);

    /// <exception cref="InvalidOperationException">A step was refused; the message says why.</exception>
    public static async Task<HealthReport> ScreenAsync(string label, string type, Specimen specimen, int seed, ConnectionKind kind = ConnectionKind.Pentode)
    {
        var options = new SimulatedRigOptions { Seed = seed, Unpaced = true, Tubes = [specimen.Parameters], Behaviours = [specimen.Behaviour] };
        var record = new Record();
        await using var rig = new SimulatedRig(options, TimeProvider.System);
        await using var link = new LinkRig(new SimulatedRigPort(rig), TimeProvider.System, NullLogger<LinkRig>.Instance);
        await using var runner = new SweepRunner(link, record, new(), TimeProvider.System, NullLogger<SweepRunner>.Instance);
        using var viewer = runner.Feed.Subscribe();
        runner.Start();
        using var late = new CancellationTokenSource(Deadline);
        await foreach (var _ in viewer.ReadAllAsync(late.Token))
            if (runner.State.Link == RigLinkState.Connected) break;

        var setup = new ScreeningSetup("screening", new(label, type), 0, Fixture with { Kind = kind });
        var screener = new Screener(runner, (id, _) => Task.FromResult<IReadOnlyList<SampleBlock>>([.. record.Blocks[id]]));
        var done = await screener.RunAsync(ScreeningProcedure.Begin(runner.State.Identity!, setup), (_, step) =>
        {
            // A hand with a pencil: four taps, the first a second on.
            if (step.Kind == ScreeningStepKind.Tapped) rig.Tap(TimeSpan.FromSeconds(1.5), TimeSpan.FromSeconds(1.1), 4);
        }, late.Token);
        return done.IsAccepted ? HealthFinder.Find(done.Value.Runs) : throw new InvalidOperationException($"{label}: {string.Join(" ", done.Refusals)}");
    }

    /// <summary>Keeps the blocks of each run.</summary>
    private sealed class Record : IRunRecorder
    {
        public ConcurrentDictionary<string, List<SampleBlock>> Blocks { get; } = new(StringComparer.Ordinal);

        public ValueTask<IRunRecording> BeginAsync(RunHeader header, CancellationToken cancellationToken) =>
            ValueTask.FromResult<IRunRecording>(new Recording(header.Id, Blocks[header.Id] = []));

        private sealed class Recording(string id, List<SampleBlock> kept) : IRunRecording
        {
            public string RunId => id;

            public ValueTask<long> AppendAsync(IReadOnlyList<SampleBlock> blocks, CancellationToken cancellationToken)
            {
                long first = kept.Count;
                kept.AddRange(blocks);
                return ValueTask.FromResult(first);
            }

            public ValueTask TripAsync(Trip trip, CancellationToken cancellationToken) => ValueTask.CompletedTask;

            public ValueTask GapsAsync(IReadOnlyList<Gap> gaps, CancellationToken cancellationToken) => ValueTask.CompletedTask;

            public ValueTask EndAsync(RunState state, DateTimeOffset endedUtc, CancellationToken cancellationToken) => ValueTask.CompletedTask;

            public ValueTask DisposeAsync() => ValueTask.CompletedTask;
        }
    }
}
