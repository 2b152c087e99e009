using SweepRig.Domain.Runs;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Link.Messages;
using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Wire.Exploration;

/// <content>What the rig says, by the host's own reader and decoders.</content>
internal sealed partial class RigStates
{
    public List<RigWord> Read(ReadOnlySpan<byte> sent)
    {
        var said = new List<RigWord>();
        var reader = new FrameReader();
        Step(reader);
        while (reader.Next(ref sent, out var frame) == ReadResult.Frame)
            if (Word(frame) is { } word) said.Add(word);
        return reader.Damaged == 0 ? said : throw new InvalidOperationException($"The explored rig sent a damaged frame: {reader.DamagedHex}");
    }

    /// <summary>A reader takes what comes before the first 0x00 for the tail of something.</summary>
    private static void Step(FrameReader reader)
    {
        ReadOnlySpan<byte> zero = [0];
        reader.Next(ref zero, out _);
    }

    /// <summary>By the real decoders. What only informs (introduction, flight record) is left out.</summary>
    private RigWord? Word(LinkFrame frame)
    {
        var fault = default(FieldFault);
        RigWord? word = null;
        if (frame.Type == LinkMessages.Ack.Number)
        {
            fault = frame.Decode<Ack>(out var ack);
            word = new(RigSays.Ack, (byte)ack.Session, ack.RequestType, (sbyte)ack.Request, 0, 0, 0, 0, false, 0);
        }
        else if (frame.Type == LinkMessages.Nack.Number)
        {
            fault = frame.Decode<Nack>(out var nack);
            word = new(RigSays.Nack, (byte)nack.Session, nack.RequestType, (sbyte)nack.Request, 0, 0, 0, 0, false, 0);
        }
        else if (frame.Type == LinkMessages.Status.Number)
        {
            fault = frame.Decode<Status>(out var s);
            word = new(RigSays.Status, (byte)s.Session, 0, 0, (byte)s.Latch, s.Cause, s.Flags, (byte)s.Program, false, 0);
        }
        else if (frame.Type == LinkMessages.Samples.Number)
        {
            SampleBlock? block = null;
            fault = SampleFrame.DecodeHeader(frame, out var header) ?? SampleFrame.DecodeSamples(frame, header, 0, header.Frame, 0, false, out block);
            if (block is not null)
                word = new(RigSays.Samples, 0, 0, 0, 0, 0, 0, (byte)header.Program, false, (short)_blocks.Of(BlockSummary.Of(block, _calibrator.Convert(block), _calibrator)));
        }
        else if (frame.Type == LinkMessages.ProgramEnd.Number)
        {
            fault = frame.Decode<ProgramEnd>(out var ended);
            word = new(RigSays.ProgramEnd, 0, 0, 0, 0, 0, 0, (byte)ended.Program, ended.Completed, 0);
        }
        else if (frame.Type == LinkMessages.Tripped.Number)
        {
            fault = frame.Decode<Tripped>(out var t);
            word = new(RigSays.Tripped, (byte)t.Session, 0, 0, (byte)t.Latch, t.Cause, 0, 0, false, 0);
        }
        else if (frame.Type == LinkMessages.Restarted.Number)
        {
            fault = frame.Decode<Restarted>(out _);
            word = new(RigSays.Restarted, 0, 0, 0, 0, 0, 0, 0, false, 0);
        }
        if (fault is not null) throw new InvalidOperationException($"The explored rig sent what makes no sense: {fault}");
        return word;
    }
}
