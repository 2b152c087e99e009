using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Link.Host;

/// <summary>Gathers what a rig says about itself after a Hello. Parts may come twice; what belongs to an earlier session is left out.</summary>
internal sealed class Handshake(ushort session)
{
    private readonly ChannelScale?[] channels = new ChannelScale?[RigChannels.Count];
    private IdentityText? text;
    private DriveScale? drive;
    private LimitValues? limits;

    public ushort Session => session;

    public Identity? Head { get; private set; }

    /// <returns>A field out of range, which ends the attempt; null otherwise.</returns>
    public FieldFault? Take(LinkFrame frame)
    {
        FieldFault? fault = null;
        if (frame.Type == LinkMessages.Identity.Number)
        {
            fault = frame.Decode<Identity>(out var identity);
            if (fault is null && identity.Session == session) Head = identity;
        }
        else if (Head is null)
        {
            return null;
        }
        else if (frame.Type == LinkMessages.IdentityText.Number)
        {
            fault = frame.Decode<IdentityText>(out var taken);
            text = taken;
        }
        else if (frame.Type == LinkMessages.IdentityDrive.Number)
        {
            fault = frame.Decode<IdentityDrive>(out var taken);
            if (fault is null) drive = taken.ToScale();
        }
        else if (frame.Type == LinkMessages.IdentityChannel.Number)
        {
            fault = frame.Decode<IdentityChannel>(out var taken);
            if (fault is null) channels[taken.Channel] = taken.ToScale();
        }
        else if (frame.Type == LinkMessages.IdentityLimits.Number)
        {
            fault = frame.Decode<IdentityLimits>(out var taken);
            limits = taken.Values;
        }
        return fault;
    }

    /// <summary>True once every part has come.</summary>
    public bool IsComplete =>
        Head is { } head && text is not null && drive is not null && limits is not null && channels.Take(head.Channels).All(c => c is not null);

    /// <param name="identity">The rig.</param>
    /// <returns>What contradicts itself in the description; null if nothing does.</returns>
    public string? TryFinish(out RigIdentity? identity)
    {
        identity = null;
        if (!IsComplete) throw new InvalidOperationException("SweepRig bug: the handshake is not complete.");
        var head = Head!.Value;
        var known = channels.Take(head.Channels).Select(c => c!).ToArray();
        var hard = limits!.Value.ToRigLimits();
        if (text!.Value.SerialNumber.Length == 0) return "its serial number is empty";
        if (drive!.AtFullScale <= drive.AtZero) return $"its drive goes from {drive.AtZero} to {drive.AtFullScale}, which is not upward";
        foreach (var channel in known)
        {
            if (channel.AtFullScale <= channel.AtZero) return $"its channel {channel.Channel} goes from {channel.AtZero} to {channel.AtFullScale}, which is not upward";
            if (channel.Bits + channel.FractionBits > 16) return $"its channel {channel.Channel} has {channel.Bits} + {channel.FractionBits} bits, more than 16";
        }
        if (hard.DriveFloor >= hard.DriveCeiling) return $"its drive floor {hard.DriveFloor} is not below its ceiling {hard.DriveCeiling}";
        if (hard.SupplyMin > hard.SupplyMax) return $"its lowest plate rail {hard.SupplyMin} is above its highest {hard.SupplyMax}";
        identity = new(
            LinkProtocol.Version, text.Value.Firmware, text.Value.Board, text.Value.SerialNumber, head.Sockets, head.Supplies, drive, known, hard,
            head.LeaseMilliseconds, head.ConversionMicroseconds, head.LastReset);
        return null;
    }
}
