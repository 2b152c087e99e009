using SweepRig.Domain.Interlocks;
using SweepRig.EndToEnd.Tests.Emulated.Probe;
using SweepRig.EndToEnd.Tests.Emulated.Rigs;
using SweepRig.Rigs.Link.Messages;
using SweepRig.Rigs.Simulated;

namespace SweepRig.EndToEnd.Tests.Emulated.Cases;

/// <summary>The emergency stop, pressed in every state of a rig. While it is pressed nothing releases the latch.</summary>
public sealed class EmergencyStopCases
{
    private static readonly SimulatedFault s_pressed = new SimulatedFault.EmergencyStop();

    public static TheoryData<RigKind> Rigs => ThreeRigs.All;

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task Pressed_before_a_host_comes_it_keeps_the_latch_fired(RigKind kind)
    {
        await using var bench = await ProbedRig.StartAsync(kind);
        bench.Rig.Inject(s_pressed);
        await bench.Host.HelloAsync();
        await bench.Host.UntilAsync<Status>(bench.Host.Mark, s => s.Flags.HasFlag(StatusFlags.CausePresent), "the stop seen");

        await NotReleasableAsync(bench, TripCause.PowerUp);

        bench.Rig.Inject();
        await ReleasableAsync(bench);
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task Pressed_at_rest_it_trips_and_switches_the_rail_off(RigKind kind)
    {
        await using var bench = await ProbedRig.ReadyAsync(kind);

        bench.Rig.Inject(s_pressed);

        await bench.TrippedAsync(TripCause.EmergencyStop);
        await NotReleasableAsync(bench, TripCause.EmergencyStop);
        Assert.Equal(NackReason.Latched, (await bench.Host.AskAsync(Passes.Rail(on: true)))!.Value.Reason);
        bench.Rig.Inject();
        await ReleasableAsync(bench);
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task Pressed_in_a_program_it_ends_it(RigKind kind)
    {
        await using var bench = await ProbedRig.SweepingAsync(kind, 0, 5, points: 1_000);

        bench.Rig.Inject(s_pressed);

        await bench.TrippedAsync(TripCause.EmergencyStop);
        Assert.False((await bench.Host.UntilAsync<ProgramEnd>(bench.Mark, _ => true, "the end of the program")).Completed);
        await NotReleasableAsync(bench, TripCause.EmergencyStop);
        bench.Rig.Inject();
        await ReleasableAsync(bench);
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task Pressed_after_a_program_it_trips_as_at_rest(RigKind kind)
    {
        await using var bench = await ProbedRig.ReadyAsync(kind);
        await Passes.StartAsync(bench.Host, 1, -10, -9, 20, 1_000);
        Assert.True((await bench.Host.UntilAsync<ProgramEnd>(bench.Mark, _ => true, "the end of the program")).Completed);

        bench.Rig.Inject(s_pressed);

        await bench.TrippedAsync(TripCause.EmergencyStop);
        Assert.Equal(NackReason.Latched, (await StartAgainAsync(bench))!.Value.Reason);
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task Pressed_while_tripped_it_leaves_the_first_cause_and_hinders_the_release(RigKind kind)
    {
        await using var bench = await ProbedRig.ReadyAsync(kind);
        await bench.Host.DoAsync(new Safe());
        await bench.TrippedAsync(TripCause.HostOrder);

        bench.Rig.Inject(s_pressed);
        await bench.Host.UntilAsync<Status>(bench.Host.Mark, s => s.Flags.HasFlag(StatusFlags.CausePresent), "the stop seen");

        await NotReleasableAsync(bench, TripCause.HostOrder);
        bench.Rig.Inject();
        await ReleasableAsync(bench);
    }

    private static async Task NotReleasableAsync(ProbedRig bench, TripCause first)
    {
        var nack = await bench.Host.ReleaseAsync();
        Assert.Equal(NackReason.CausePresent, nack!.Value.Reason);
        Assert.Equal((int)TripCause.EmergencyStop, nack.Value.Value);
        var status = await bench.Host.StatusAsync();
        Assert.True(status.Flags.HasFlag(StatusFlags.Latched | StatusFlags.CausePresent));
        Assert.Equal(first, status.Cause);
    }

    private static async Task ReleasableAsync(ProbedRig bench)
    {
        await bench.Host.UntilAsync<Status>(bench.Host.Mark, s => !s.Flags.HasFlag(StatusFlags.CausePresent), "the stop let go");
        // It does not heal by itself.
        Assert.True((await bench.Host.StatusAsync()).Flags.HasFlag(StatusFlags.Latched));
        Assert.Null(await bench.Host.ReleaseAsync());
        Assert.False((await bench.Host.StatusAsync()).Flags.HasFlag(StatusFlags.Latched));
    }

    private static async Task<Nack?> StartAgainAsync(ProbedRig bench)
    {
        await bench.Host.DoAsync(Passes.Begin(2, 20, -9, 1_000));
        await bench.Host.DoAsync(new ProgramSegment(2, 0, Passes.Code(-10), Passes.Code(-9), 20, 0));
        return await bench.Host.AskAsync(new ProgramStart(2));
    }
}
