using System.Threading.Channels;
using SweepRig.Domain.Rigs;

namespace SweepRig.Rigs;

/// <summary>
/// A rig as the rest of the program sees it, across reconnects. One owner task does all traffic; the methods below send it messages and may
/// be called from any thread. None of them throws for what a rig or cable does: that is in the reply and in <see cref="Events"/>.
/// </summary>
public interface IRig : IAsyncDisposable
{
    /// <summary>For people: the port and what is on it.</summary>
    string Name { get; }

    /// <summary>The rig at the other end; null while not connected.</summary>
    RigIdentity? Identity { get; }

    /// <summary>Everything that happens, in order, read by one reader. Never blocks the link: the reader must keep up or fall behind in memory.</summary>
    ChannelReader<RigEvent> Events { get; }

    /// <summary>Starts the owner task, which opens the port, shakes hands and reconnects with back-off until disposed.</summary>
    void Start();

    /// <summary>Sets the limits of this session. They can only be tighter than the hard limits and last until the rig restarts.</summary>
    Task<RigReply> SetLimitsAsync(RigLimits limits, CancellationToken cancellationToken);

    /// <summary>Switches supplies. Levels in volts are used where the rig can set them.</summary>
    Task<RigReply> SetSuppliesAsync(SupplySetting setting, CancellationToken cancellationToken);

    /// <summary>Sends a program and starts it. Its samples and its end arrive as events.</summary>
    Task<RigReply> RunAsync(RigProgram program, CancellationToken cancellationToken);

    /// <summary>Drive to safe, plate supply off, program ended, latch fired with the cause "host order". Goes ahead of anything queued.</summary>
    Task<RigReply> MakeSafeAsync(CancellationToken cancellationToken);

    /// <summary>Ends a running program without firing the latch: drive to safe, supplies as they are.</summary>
    Task<RigReply> StopAsync(CancellationToken cancellationToken);

    /// <summary>A release edge for the rig's latch. Refused while a cause remains.</summary>
    Task<RigReply> ReleaseAsync(CancellationToken cancellationToken);
}

/// <param name="Heater">Heater supply on.</param>
/// <param name="HeaterVolts">Heater voltage, 0 to 60.</param>
/// <param name="PlateRail">Plate supply on.</param>
/// <param name="PlateRailVolts">Plate rail voltage, 0 to 60.</param>
/// <param name="Socket">Socket that the drive and the channels are switched to, from 0.</param>
public sealed record SupplySetting(bool Heater, double HeaterVolts, bool PlateRail, double PlateRailVolts, int Socket);

/// <summary>What became of a command.</summary>
/// <param name="Accepted">True if the rig did it.</param>
/// <param name="Code">Kebab-case reason when not accepted: <c>latched</c>, <c>busy</c>, <c>out-of-range</c>, <c>looser-than-hard-limit</c>, <c>bad-program</c>, <c>cause-present</c>, <c>not-supported</c>, <c>not-connected</c>, <c>no-answer</c>.</param>
/// <param name="Explanation">For people: value, limit, remedy. Empty when accepted.</param>
public sealed record RigReply(bool Accepted, string Code, string Explanation)
{
    public static RigReply Done { get; } = new(true, "", "");
}
