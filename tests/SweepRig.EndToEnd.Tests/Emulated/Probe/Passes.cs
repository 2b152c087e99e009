using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.EndToEnd.Tests.Emulated.Probe;

/// <summary>Programs and settings that the cases share, in the conditions of the tide-clock: rail 28 V, bias -14 V.</summary>
internal static class Passes
{
    public const byte AllButReadBack = 0b01111;
    public const byte All = 0b11111;

    public static RigWiring Pentode { get; } = new(ConnectionKind.Pentode, 10_000, 100, 4_700);

    public static RigWiring Triode { get; } = Pentode with { Kind = ConnectionKind.Triode };

    /// <summary>Code of a drive on the scale that all three rigs have.</summary>
    public static ushort Code(double volts) => (ushort)new DriveScale(12, new(-16), new(32)).ToCode(new(volts));

    public static SweepRig.Rigs.Link.Messages.Supplies Rail(bool on) => new(SupplySwitches.Heater | (on ? SupplySwitches.PlateRail : 0), 0, 6_300_000, on ? 28_000_000u : 0);

    public static Limits Limits(RigLimits limits)
    {
        var values = LimitValues.Of(limits);
        return new(values, LimitSeal.Of(values));
    }

    public static ProgramBegin Begin(int number, int points, double ceiling, int dwell, int conversions = 4, byte mask = AllButReadBack, int segments = 1) =>
        new((ushort)number, (byte)segments, (ushort)points, mask, Code(ceiling), (uint)dwell, (ushort)conversions, 0, 0, 0, 0, ConnectionKind.Pentode, 10_000, 100, 4_700);

    /// <summary>Begins, fills and starts a program of one segment.</summary>
    public static async Task StartAsync(LinkProbe host, int number, double from, double to, int points, int dwell, int conversions = 4, byte mask = AllButReadBack)
    {
        await host.DoAsync(Begin(number, points, Math.Max(from, to), dwell, conversions, mask));
        await host.DoAsync(new ProgramSegment((ushort)number, 0, Code(from), Code(to), (ushort)points, 0));
        await host.DoAsync(new ProgramStart((ushort)number));
    }

    /// <summary>Opens a session, clears the latch, switches heater and plate rail on and waits until the rail stands.</summary>
    public static async Task<Identity> ReadyAsync(LinkProbe host, RigLimits? limits = null)
    {
        var identity = await host.HelloAsync();
        if (limits is not null) await host.DoAsync(Limits(limits));
        if (await host.ReleaseAsync() is { } nack) throw new InvalidOperationException($"The latch stays: {nack}");
        await host.DoAsync(Rail(on: true));
        await host.UntilAsync<Status>(host.Mark, s => s.SupplyCode >> 4 >= 2799, "the plate rail at 28 V");
        return identity;
    }

    /// <summary>Waits until a program is well under way.</summary>
    public static async Task RunningAsync(LinkProbe host, int number, int frames = 2)
    {
        var status = await host.UntilAsync<Status>(
            host.Mark, s => s.Program == number && (s.Frames >= frames || !s.Flags.HasFlag(StatusFlags.Running)), $"program {number} under way");
        if (!status.Flags.HasFlag(StatusFlags.Running)) throw new InvalidOperationException($"Program {number} has ended before its time: {status}");
    }
}
