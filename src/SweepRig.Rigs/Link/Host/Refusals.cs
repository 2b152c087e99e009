using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Link.Host;

/// <summary>Replies that are no acceptance, in words: value, limit, remedy.</summary>
public static class Refusals
{
    public static RigReply NotConnected(string port) => new(
        false, "not-connected",
        $"No rig is connected on {port}, so nothing was sent. A rig that loses its host makes itself safe within its lease of at most 300 ms. Check cable and power; the connection is tried again by itself.");

    public static RigReply NoAnswer(string message) => new(
        false, "no-answer",
        $"The rig did not answer {message}, sent {LinkProtocol.Attempts} times within {LinkProtocol.Attempts * LinkProtocol.AnswerTimeout.TotalMilliseconds:0} ms. The link is taken as lost and renewed; check the cable.");

    public static RigReply Lost(string message) => new(
        false, "no-answer", $"The link to the rig was lost before {message} was answered. Whether it was done is not known; the rig makes itself safe within its lease.");

    public static RigReply Restarted(string message) => new(
        false, "no-answer", $"The rig restarted before {message} was answered. It is safe; send it again once the rig is connected.");

    public static RigReply OvertakenBySafe(string message) => new(
        false, "latched", $"The rig was ordered safe while {message} was under way, so it was given up. Acknowledge the trip first.");

    /// <summary>A value that the link itself cannot carry; nothing was sent.</summary>
    public static RigReply Field(MessageDeclaration message, FieldDeclaration field, long value, DriveScale? drive) => new(
        false, "out-of-range",
        $"{Sentence(LinkFigures.Words(field))} {LinkFigures.Format(field, value, drive)} cannot be sent to any rig: allowed is {Bounds(field, drive)}. Ask for a value within it.");

    /// <summary>The rig's own refusal.</summary>
    public static RigReply Of(Nack nack, DriveScale? drive)
    {
        var message = LinkMessages.Find(nack.RequestType) ?? throw new InvalidOperationException($"SweepRig bug: answer to unknown request {nack.RequestType}.");
        var field = nack.Field < message.Fields.Length ? message.Fields[nack.Field] : null;
        var value = field is null ? $"{nack.Value}" : $"{LinkFigures.Words(field)} {LinkFigures.Format(field, nack.Value, drive)}";
        var limit = field is null ? $"{nack.Limit}" : LinkFigures.Format(field, nack.Limit, drive);
        return nack.Reason switch
        {
            NackReason.Latched => new(false, "latched",
                $"The rig's latch is fired ({CauseName(nack.Value)}). Acknowledge the trip once its cause is gone."),
            NackReason.Busy => new(false, "busy", $"The rig is running program {nack.Value}. Wait for its end or stop it."),
            NackReason.OutOfRange => new(false, "out-of-range", $"The rig refuses {value}; its limit is {limit}. Ask for a value within it."),
            NackReason.LooserThanLimit => new(false, "looser-than-hard-limit",
                $"The rig refuses {value}; {limit} is in force. Limits can only be made tighter; those of a session last until the rig restarts."),
            NackReason.BadProgram => new(false, "bad-program",
                $"The rig refuses the program: {value} does not fit the rest of it ({limit}). Plan the sweep again with fewer or other segments."),
            NackReason.CausePresent when message != LinkMessages.Release => new(false, "cause-present",
                $"The rig switches nothing on while something holds that would make it safe ({CauseName(nack.Value)}). Check the cable; try again."),
            NackReason.CausePresent => new(false, "cause-present",
                $"The latch is not released while a cause remains ({CauseName(nack.Value)}). Remove the cause, then acknowledge again."),
            NackReason.NoSession => new(false, "no-answer", "The rig has lost the session, as after a restart. It is safe; the handshake is done anew."),
            NackReason.NotSupported => new(false, "not-supported", $"The rig cannot do it: {value}; {limit} is what it can. Check its switchable supplies."),
            NackReason.BadSeal => new(false, "no-answer", "The rig found the limits damaged in spite of a good frame and refused them. Send them again; if it repeats, replace the rig's controller."),
            NackReason.OtherLatch => new(false, "latched",
                $"The latch has fired again since (firing {nack.Limit}, the release was for {nack.Value}). Look at the new trip, then acknowledge that."),
            _ => throw new InvalidOperationException($"SweepRig bug: reason {nack.Reason} passed the range check."),
        };
    }

    private static string Bounds(FieldDeclaration field, DriveScale? drive) => field.OneOf is { } values
        ? string.Join(", ", values.Select(v => LinkFigures.Format(field, v, drive)))
        : $"{LinkFigures.Format(field, field.Min, drive)} to {LinkFigures.Format(field, field.Max, drive)}";

    private static string CauseName(int cause) => Enum.IsDefined((TripCause)cause) ? $"cause {cause}, {(TripCause)cause}" : $"cause {cause}";

    private static string Sentence(string text) => char.ToUpperInvariant(text[0]) + text[1..];
}
