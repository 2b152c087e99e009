using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Bus;
using SweepRig.Rigs.Tests.Bus.Simulated;

namespace SweepRig.Rigs.Tests.Bus;

/// <summary>What the tests of a direct bus rig do with one.</summary>
internal static class BusRigs
{
    private static readonly TimeSpan Deadline = TimeSpan.FromSeconds(30);

    /// <summary>Events come for ever on a clock that takes no time; this many are more than ten minutes of the rig's.</summary>
    private const int Patience = 10_000;

    public static async Task ConnectAsync(this BusRig rig)
    {
        rig.Start();
        await rig.UntilAsync<RigEvent.Connected>();
    }

    /// <summary>Connected, released, warm, rail on and at rest.</summary>
    public static async Task MakeReadyAsync(this BusRig rig, BusBench bench)
    {
        await rig.ConnectAsync();
        await AcceptedAsync(rig.ReleaseAsync(default));
        await AcceptedAsync(rig.SetSuppliesAsync(new(true, 6.3, true, bench.SupplyVolts, 0), default));
        // A thousand times faster than life a cathode is warm after 0.3 s.
        await rig.UntilStatusAsync(s => s.HeaterOnFor > TimeSpan.FromSeconds(1));
    }

    public static async Task<IReadOnlyList<SampleBlock>> SweepAsync(this BusRig rig, RigProgram program)
    {
        await AcceptedAsync(rig.RunAsync(program, default));
        var blocks = new List<SampleBlock>();
        while (true)
        {
            switch (await rig.NextAsync())
            {
                case RigEvent.Block block: blocks.Add(block.Samples); break;
                case RigEvent.PassEnded ended:
                    Assert.True(ended.Completed);
                    Assert.Equal((program.Pass, blocks.Count), (ended.Pass, ended.Frames));
                    return blocks;
                case RigEvent.Tripped tripped: Assert.Fail($"{tripped.Trip}"); break;
                case RigEvent.Disconnected gone: Assert.Fail(gone.Reason); break;
                default: break;
            }
        }
    }

    public static RigProgram Program(this BusBench bench, double from, double to, int points, ConnectionKind kind = ConnectionKind.Pentode, int conversions = 1, int dwell = 200)
    {
        var drive = bench.Config.Drive.Scale;
        var (low, high) = ((ushort)drive.ToCode(new(from)), (ushort)drive.ToCodeAtOrBelow(new(to)));
        return new(3, [new(low, high, points, 0)], 0b11111, high, new(dwell, conversions, 0, 0, 0, 0), new(kind, 10_000, 100, 4_700));
    }

    public static async Task AcceptedAsync(Task<RigReply> reply) => Assert.Equal(RigReply.Done, await reply.WaitAsync(Deadline));

    public static async Task<RigReply> RefusedAsync(Task<RigReply> reply)
    {
        var refused = await reply.WaitAsync(Deadline);
        Assert.False(refused.Accepted);
        Assert.NotEmpty(refused.Explanation);
        return refused;
    }

    public static async Task<T> UntilAsync<T>(this BusRig rig)
        where T : RigEvent
    {
        for (var i = 0; i < Patience; i++)
            if (await rig.NextAsync() is T found) return found;
        throw new TimeoutException($"No {typeof(T).Name} among {Patience} events.");
    }

    public static async Task<RigStatus> UntilStatusAsync(this BusRig rig, Func<RigStatus, bool> condition)
    {
        for (var i = 0; i < Patience; i++)
            if (await rig.NextAsync() is RigEvent.Status status && condition(status.Value)) return status.Value;
        throw new TimeoutException($"No such status among {Patience} events.");
    }

    public static async Task<Trip> UntilTripAsync(this BusRig rig) => (await rig.UntilAsync<RigEvent.Tripped>()).Trip;

    public static Task<RigEvent> NextAsync(this BusRig rig) => rig.Events.ReadAsync().AsTask().WaitAsync(Deadline);
}
