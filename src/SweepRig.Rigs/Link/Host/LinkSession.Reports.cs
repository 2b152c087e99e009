using System.Buffers;
using Microsoft.Extensions.Logging;
using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Logging;
using SweepRig.Domain.Quantities;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Link.Host;

/// <summary>What the rig says, turned into events.</summary>
internal sealed partial class LinkSession
{
    private static readonly TimeSpan DamageLogPeriod = TimeSpan.FromSeconds(1);

    private RigClock clock = new(0);
    private ActiveProgram? program;
    private TimeSpan damageLogAt;
    private long received;
    private long newestStatus = long.MinValue;
    private bool toldRestart;
    private byte socket;

    /// <summary>Number of the latest firing of the latch that the rig has reported.</summary>
    public ushort Latch { get; private set; }

    /// <summary>Number for the next program.</summary>
    public ushort NextProgram() => memory.LastProgram = memory.LastProgram == ushort.MaxValue ? (ushort)1 : (ushort)(memory.LastProgram + 1);

    /// <summary>Remembers the socket in use, so that a goodbye need not switch it.</summary>
    public void UseSocket(int number) => socket = (byte)number;

    private void Take(byte[] buffer, int length)
    {
        received += length;
        ReadOnlySpan<byte> input = buffer.AsSpan(0, length);
        ReadResult result;
        while (end is null && !breaking && (result = reader.Next(ref input, out var frame)) != ReadResult.NeedMore)
        {
            if (result == ReadResult.Damaged)
            {
                memory.Damaged++;
                LogDamage();
                continue;
            }
            memory.Frames++;
            if (frame.Version != LinkProtocol.Version) OtherVersion(frame);
            else if (introduced is null) TakeInHandshake(frame);
            else TakeReport(frame);
        }
        ArrayPool<byte>.Shared.Return(buffer);
    }

    private void OtherVersion(LinkFrame frame)
    {
        End($"The rig on {port} speaks version {frame.Version} of the rig link, this program speaks version {LinkProtocol.Version}. Update the older of the two.", false);
    }

    private void TakeReport(LinkFrame frame)
    {
        silentAt = Now + LinkProtocol.Silence;
        var fault = frame.Type switch
        {
            21 => TakeAck(frame),
            22 => TakeNack(frame),
            23 => TakeStatus(frame),
            24 => TakeSamples(frame),
            25 => TakeProgramEnd(frame),
            26 => TakeTripped(frame),
            27 => TakeRestarted(frame),
            28 => TakeFlightRecord(frame),
            // Parts of an introduction that was asked for twice.
            16 or 17 or 18 or 19 or 20 => null,
            _ => new FieldFault("frame", "type", $"{frame.Type}", "16 to 28"),
        };
        if (fault is null) return;
        var hex = Convert.ToHexString(frame.Bytes);
        logger.LogWarning(LogEvents.SenselessFrame, "The rig on {Port} sent a good frame that makes no sense ({Fault}): {Hex}", port, fault, hex);
        Break($"The rig on {port} sent something that makes no sense: {fault} (frame {hex}). It was ordered safe and the session closed; check that its firmware is right for link version {LinkProtocol.Version}.", true);
    }

    private FieldFault? TakeAck(LinkFrame frame)
    {
        var fault = frame.Decode<Ack>(out var ack);
        if (fault is not null || !IsAnswer(ack.RequestType, ack.Request, ack.Session)) return fault;
        var started = lane.InFlight!.Next.Declaration == LinkMessages.ProgramBegin ? lane.InFlight.Program : null;
        if (started is not null) program = started;
        lane.Acknowledge()?.Finish(RigReply.Done);
        return null;
    }

    private FieldFault? TakeNack(LinkFrame frame)
    {
        var fault = frame.Decode<Nack>(out var nack);
        if (fault is not null || !IsAnswer(nack.RequestType, nack.Request, nack.Session)) return fault;
        if (lane.InFlight!.Program is not null && program == lane.InFlight.Program) program = null;
        var refusedSafe = lane.InFlight.GoesAhead;
        lane.Abandon(Refusals.Of(nack, introduced!.Drive));
        // What it drives lives on the lease, and the lease on renewals: they end with the session.
        if (refusedSafe) Break($"The rig on {port} refused the order to make itself safe. Its lease is renewed no longer, which makes it safe; see that its plate rail is off, and restart it if this comes again.", true);
        return null;
    }

    private bool IsAnswer(byte requestType, byte request, ushort session) => session == handshake.Session && lane.Matches(requestType, request);

    private FieldFault? TakeStatus(LinkFrame frame)
    {
        if (frame.Decode<Status>(out var status) is { } fault) return fault;
        if (status.Session != handshake.Session || !TryRigTime(status.TimeMicroseconds, out var now)) return null;
        // One that is older than the newest is a copy that the line kept.
        if (now < newestStatus) return null;
        newestStatus = now;
        if (Identity is null) Connect();
        var identity = introduced!;
        Latch = status.Latch;
        if (status.Program != 0 && status.Program == program?.Number && !status.Flags.HasFlag(StatusFlags.Running))
            EndProgram(status.Flags.HasFlag(StatusFlags.Completed), status.Frames);
        var latched = status.Flags.HasFlag(StatusFlags.Latched);
        if (latched) TellTrip(status.Latch, status.Cause, status.LatchTimeMicroseconds, status.Measured, status.Limit);
        var supply = identity.Channels.Count > (int)RigChannel.Supply ? identity.Channels[(int)RigChannel.Supply].ToVolts(status.SupplyCode) : double.NaN;
        memory.Tell(new RigEvent.Status(ReceivedAt, new(
            new(now), latched, latched ? status.Cause : null, status.Flags.HasFlag(StatusFlags.CausePresent), identity.Drive.ToVolts(status.DriveCode),
            status.Flags.HasFlag(StatusFlags.HeaterOn), TimeSpan.FromMilliseconds(status.HeaterOnForMilliseconds), status.Flags.HasFlag(StatusFlags.PlateRailOn),
            supply, status.Flags.HasFlag(StatusFlags.Running))));
        return null;
    }

    private FieldFault? TakeSamples(LinkFrame frame)
    {
        if (SampleFrame.DecodeHeader(frame, out var header) is { } fault) return fault;
        if (program is null || header.Program != program.Number || !TryRigTime(header.TimeMicroseconds, out var first)) return null;
        // The index has 16 bits, and a program has fewer frames than that. One that is behind is a copy, or was overtaken on the line; its loss is
        // known already and its points are measured again, so that no point comes twice.
        var missed = (ushort)(header.Frame - program.NextFrame);
        if (missed >= 32768 || program.Ended) return null;
        memory.Lost += missed;
        program.NextFrame = header.Frame + 1;
        fault = SampleFrame.DecodeSamples(frame, header, program.Program.Pass, header.Frame, first, repeated: false, out var block);
        if (block is not null) memory.Tell(new RigEvent.Block(ReceivedAt, block));
        return fault;
    }

    private FieldFault? TakeProgramEnd(LinkFrame frame)
    {
        var fault = frame.Decode<ProgramEnd>(out var ended);
        if (fault is null && ended.Program == program?.Number) EndProgram(ended.Completed, ended.Frames);
        return fault;
    }

    private void EndProgram(bool completed, int frames)
    {
        if (program is null || program.Ended) return;
        program.Ended = true;
        memory.Lost += Math.Max(0, frames - program.NextFrame);
        memory.Tell(new RigEvent.PassEnded(ReceivedAt, program.Program.Pass, completed, frames));
    }

    private FieldFault? TakeTripped(LinkFrame frame)
    {
        if (frame.Decode<Tripped>(out var tripped) is { } fault) return fault;
        if (tripped.Session != handshake.Session || (short)(tripped.Latch - Latch) < 0) return null;
        Latch = tripped.Latch;
        TellTrip(tripped.Latch, tripped.Cause, tripped.TimeMicroseconds, tripped.Measured, tripped.Limit);
        return null;
    }

    /// <summary>Tells each firing once, whether Tripped or Status brought it. Power-up is how a latch starts and is no trip.</summary>
    private void TellTrip(ushort latch, TripCause cause, uint rigTime, int measured, int limit)
    {
        var firing = (introduced!.SerialNumber, handshake.Head!.Value.Boot, latch);
        if (cause is TripCause.PowerUp or 0 || memory.LastTrip == firing) return;
        memory.LastTrip = firing;
        RigTime? at = clock.TryExtend(rigTime, out var ticks) ? new RigTime(ticks) : null;
        memory.Tell(new RigEvent.Tripped(ReceivedAt, new(
            cause, ByRig: cause != TripCause.HostOrder, LinkFigures.Measured(cause, measured), LinkFigures.Limit(cause, limit), time.GetUtcNow(), at)));
    }

    private FieldFault? TakeRestarted(LinkFrame frame)
    {
        if (frame.Decode<Restarted>(out var restarted) is { } fault) return fault;
        memory.Tell(new RigEvent.Restarted(ReceivedAt, restarted.LastReset));
        toldRestart = true;
        StartOver();
        return null;
    }

    private bool TryRigTime(uint low, out long rigTicks)
    {
        if (clock.TryExtend(low, out rigTicks)) return true;
        clockWentBack = true;
        StartOver();
        return false;
    }

    private void StartOver()
    {
        lane.Clear(Refusals.Restarted);
        ShakeHands();
    }

    private FieldFault? TakeFlightRecord(LinkFrame frame)
    {
        var declaration = LinkMessages.FlightRecord;
        var payload = frame.Payload;
        if (payload.Length < declaration.FixedBytes || payload.Length != declaration.FixedBytes + payload[1] * declaration.RecordBytes)
            return new(declaration.Name, "count", $"{payload.Length} bytes", $"{declaration.FixedBytes} bytes and {declaration.RecordBytes} for each record");
        logger.LogInformation(LogEvents.FlightRecord, "Flight record of the rig on {Port}: {Hex}", port, Convert.ToHexString(payload));
        return null;
    }

    private void LogDamage()
    {
        if (Now < damageLogAt) return;
        damageLogAt = Now + DamageLogPeriod;
        logger.LogWarning(LogEvents.DamagedFrame, "Damaged frame {Count} on {Port}, dropped (at most one a second is shown): {Hex}", memory.Damaged, port, reader.DamagedHex);
    }
}
