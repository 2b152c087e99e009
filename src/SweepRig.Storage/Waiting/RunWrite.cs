using System.Text.Json;
using System.Text.Json.Serialization;
using SweepRig.Storage.Schema;

namespace SweepRig.Storage.Waiting;

/// <summary>One write of a recording: what goes into the store in one transaction, or not at all.</summary>
[JsonDerivedType(typeof(Blocks), "blocks")]
[JsonDerivedType(typeof(Trip), "trip")]
[JsonDerivedType(typeof(Gaps), "gaps")]
[JsonDerivedType(typeof(End), "end")]
internal abstract record RunWrite
{
    public sealed record Blocks(BlockRow[] Rows) : RunWrite;

    public sealed record Trip(TripRow Row) : RunWrite;

    public sealed record Gaps(GapRow[] Rows) : RunWrite;

    public sealed record End(string State, string At) : RunWrite;

    public byte[] ToBytes() => JsonSerializer.SerializeToUtf8Bytes(this, RunWriteJson.Default.RunWrite);

    /// <exception cref="InvalidDataException">The bytes are damaged or of a later version.</exception>
    public static RunWrite Of(byte[] bytes)
    {
        try
        {
            return JsonSerializer.Deserialize(bytes, RunWriteJson.Default.RunWrite) ?? throw new InvalidDataException("A write that waits is empty.");
        }
        catch (Exception fault) when (fault is JsonException or NotSupportedException)
        {
            throw new InvalidDataException("A write that waits is damaged.", fault);
        }
    }
}

[JsonSerializable(typeof(RunWrite))]
internal sealed partial class RunWriteJson : JsonSerializerContext;
