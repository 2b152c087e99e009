namespace SweepRig.Rigs.Tests.Link;

internal static class Hex
{
    /// <summary>Bytes written as <c>03 11 22</c>; <c>01..FE</c> is a run of rising values.</summary>
    public static byte[] Parse(string text) =>
        [.. text.Split(' ', StringSplitOptions.RemoveEmptyEntries).SelectMany(Part)];

    public static string Write(ReadOnlySpan<byte> bytes) => string.Join(' ', Convert.ToHexString(bytes).Chunk(2).Select(pair => new string(pair)));

    private static IEnumerable<byte> Part(string part)
    {
        var ends = part.Split("..");
        var first = Convert.ToInt32(ends[0], 16);
        var last = Convert.ToInt32(ends[^1], 16);
        return Enumerable.Range(first, last - first + 1).Select(value => (byte)value);
    }
}
