namespace SweepRig.Rigs.Link.Messages;

public enum MessageDirection
{
    HostToRig,
    RigToHost,
}

/// <summary>One message as it travels.</summary>
/// <param name="Number">Low five bits of the first byte: 1 to 15 from the host, 16 to 31 from the rig.</param>
/// <param name="Name">As in the specification.</param>
/// <param name="Direction">Who sends it.</param>
/// <param name="IsRequest">True if the rig answers it with Ack or Nack.</param>
/// <param name="Meaning">One sentence.</param>
/// <param name="Fields">In order, without padding.</param>
/// <param name="Records">Fields of each of the records that follow the fields; empty for none. Their number is the last field, <c>count</c>.</param>
public sealed record MessageDeclaration(
    byte Number,
    string Name,
    MessageDirection Direction,
    bool IsRequest,
    string Meaning,
    FieldDeclaration[] Fields,
    FieldDeclaration[] Records)
{
    /// <summary>Payload without records, in bytes.</summary>
    public int FixedBytes { get; } = Fields.Sum(f => f.Bytes);

    /// <summary>One record, in bytes; where a record ends with codes, without them.</summary>
    public int RecordBytes { get; } = Records.Sum(f => f.Bytes);
}
