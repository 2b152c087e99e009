using SweepRig.Domain.Interlocks;
using SweepRig.Rigs.Control;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Simulated.Firmware;

/// <summary>What each request of the host does. Every request is absolute, so that a repeat does no harm.</summary>
internal sealed class Requests(SimulatedRigOptions options, Controller controller, ProgramStore programs, Session session)
{
    // Sequence of the newest request of the session; null before its first.
    private byte? _newest;

    /// <returns>Null when handled; else what makes no sense, which breaks the session.</returns>
    public FieldFault? Handle(long now, LinkFrame frame)
    {
        var declaration = LinkMessages.Find(frame.Type);
        if (declaration is null || declaration.Direction != MessageDirection.HostToRig)
            return new("frame", "type", $"{frame.Type}", "1 to 11");
        if (IsLateCopy(declaration, frame.Sequence)) return null;
        var fault = Decide(now, declaration, frame, out var refused);
        if (fault is null && declaration.IsRequest) session.Answer(now, frame, refused);
        return fault;
    }

    /// <summary>
    /// A request that comes after a newer one is a copy that the line kept: what it asked for has been overtaken. Orders to be safe are obeyed whenever they come.
    /// </summary>
    private bool IsLateCopy(MessageDeclaration declaration, byte sequence)
    {
        if (!declaration.IsRequest) return false;
        if (declaration == LinkMessages.Hello)
        {
            _newest = null;
            return false;
        }
        var late = _newest is { } newest && (sbyte)(sequence - newest) < 0;
        if (!late) _newest = sequence;
        return late && declaration != LinkMessages.Safe && declaration != LinkMessages.Stop;
    }

    private FieldFault? Decide(long now, MessageDeclaration declaration, LinkFrame frame, out Refused? refused)
    {
        refused = null;
        FieldFault? fault;
        if (declaration == LinkMessages.Hello)
        {
            fault = frame.Decode<Hello>(out var hello);
            if (fault is null) session.Open(now, hello.Session);
            return fault;
        }
        if (declaration == LinkMessages.Renew)
        {
            fault = frame.Decode<Renew>(out var renew);
            if (fault is null && renew.Session == session.Number) controller.RenewLease(now);
            return fault;
        }
        if (session.Number == 0)
        {
            refused = new(NackReason.NoSession);
            return frame.Check(declaration);
        }
        if (controller.Fault<SimulatedFault.RefuseAll>(now) is not null)
        {
            refused = new(NackReason.NotSupported);
            return null;
        }
        switch (declaration.Name)
        {
            case nameof(LinkMessages.Limits):
                fault = frame.Decode<Link.Messages.Limits>(out var limits);
                if (fault is null) refused = Limit(limits);
                return fault;
            case nameof(LinkMessages.Supplies):
                fault = frame.Decode<Link.Messages.Supplies>(out var supplies);
                if (fault is null) refused = Switch(now, supplies);
                return fault;
            case nameof(LinkMessages.ProgramBegin):
                fault = frame.Decode<ProgramBegin>(out var begin);
                if (fault is null) refused = Busy() ?? programs.Begin(begin, options.Drive, controller.CeilingCode);
                return fault;
            case nameof(LinkMessages.ProgramSegment):
                fault = frame.Decode<ProgramSegment>(out var segment);
                if (fault is null) refused = Busy() ?? programs.Add(segment, controller.FloorCode, options.Drive.MaxCode);
                return fault;
            case nameof(LinkMessages.ProgramStart):
                fault = frame.Decode<ProgramStart>(out var start);
                if (fault is null) refused = Start(now, start.Program);
                return fault;
            case nameof(LinkMessages.Stop):
                fault = frame.Decode<Stop>(out _);
                if (fault is null) controller.Stop(now);
                return fault;
            case nameof(LinkMessages.Safe):
                fault = frame.Decode<Safe>(out _);
                if (fault is null) controller.Order(now, TripCause.HostOrder);
                return fault;
            case nameof(LinkMessages.Release):
                fault = frame.Decode<Link.Messages.Release>(out var release);
                if (fault is null) refused = Release(now, release.Latch);
                return fault;
            case nameof(LinkMessages.AskStatus):
                fault = frame.Decode<AskStatus>(out _);
                if (fault is null) session.SendStatus(now);
                return fault;
            default:
                throw new InvalidOperationException($"SweepRig bug: request {declaration.Name} is declared but not handled.");
        }
    }

    private Refused? Busy() => controller.IsRunning ? new(NackReason.Busy, Nack.NoField, session.Program) : null;

    private Refused? Latched() => controller.Latch.IsFired ? new(NackReason.Latched, Nack.NoField, (int)controller.Latch.Cause) : null;

    // Without a hold nothing would ever take the outputs back.
    private Refused? NotHeld(long now) => controller.IsHeld(now) ? null : new(NackReason.CausePresent, Nack.NoField, (int)TripCause.LeaseExpired);

    private Refused? Limit(in Link.Messages.Limits limits)
    {
        if (limits.Seal != LimitSeal.Of(limits.Values)) return new(NackReason.BadSeal, 7, limits.Seal, LimitSeal.Of(limits.Values));
        if (Busy() is { } busy) return busy;
        var before = LimitValues.Of(controller.Limits);
        if (controller.Tighten(limits.Values.ToRigLimits()) is not { } field) return null;
        return new(NackReason.LooserThanLimit, field, Field(limits.Values, field), Field(before, field));
    }

    private Refused? Switch(long now, in Link.Messages.Supplies asked)
    {
        if (asked.Socket >= options.Tubes.Count) return new(NackReason.OutOfRange, 1, asked.Socket, options.Tubes.Count - 1);
        if (asked.HeaterMicrovolts > Controller.MaxHeaterVolts * 1e6) return new(NackReason.OutOfRange, 2, asked.HeaterMicrovolts, (long)(Controller.MaxHeaterVolts * 1e6));
        var most = LimitValues.Of(controller.Limits).SupplyMaxMicrovolts;
        if (asked.PlateRailMicrovolts > most) return new(NackReason.OutOfRange, 3, asked.PlateRailMicrovolts, most);
        var rail = (asked.Switches & SupplySwitches.PlateRail) != 0;
        if (rail && (Latched() ?? NotHeld(now)) is { } refused) return refused;
        if (Busy() is { } busy) return busy;
        controller.Switch(now, new(
            (asked.Switches & SupplySwitches.Heater) != 0, asked.HeaterMicrovolts / 1e6, rail, asked.PlateRailMicrovolts / 1e6, asked.Socket));
        return null;
    }

    private Refused? Start(long now, int number)
    {
        // A repeat of the start of what already runs, or has run, does nothing.
        if (number == session.Program) return null;
        if (Busy() is { } busy) return busy;
        if ((Latched() ?? NotHeld(now)) is { } held) return held;
        if (!controller.LimitsIntact) return new(NackReason.BadSeal);
        var refused = programs.Complete(number, out var program);
        if (refused is null) session.Begin(now, program!);
        return refused;
    }

    private Refused? Release(long now, int firing) => controller.Release(now, firing) switch
    {
        ReleaseResult.Clear => null,
        ReleaseResult.CausePresent => new(NackReason.CausePresent, Nack.NoField, (int)(controller.PresentCause(now) ?? controller.Latch.Cause)),
        _ => new(NackReason.OtherLatch, 0, firing, controller.Latch.Firing),
    };

    private static int Field(in LimitValues values, int field) => field switch
    {
        0 => values.DriveFloorMicrovolts,
        1 => values.DriveCeilingMicrovolts,
        2 => values.GridCurrentNanoamps,
        3 => values.CathodeCurrentNanoamps,
        4 => values.SupplyMinMicrovolts,
        5 => values.SupplyMaxMicrovolts,
        6 => values.PositiveMillisecondsPerMinute,
        _ => throw new ArgumentOutOfRangeException(nameof(field), field, "SweepRig bug: no such limit."),
    };
}
