namespace SweepRig.Rigs.Link;

/// <summary>
/// Consistent overhead byte stuffing (Cheshire and Baker, IEEE/ACM Transactions on Networking 7(2), 1999): takes every 0x00 out of a frame, so that 0x00 can end it.
/// Each zero is replaced by the distance to the next one; a run of 254 bytes without a zero gets a code of its own.
/// </summary>
public static class Cobs
{
    private const int LongestRun = 254;

    /// <summary>Bytes that a frame may need when encoded, without the ending 0x00.</summary>
    public static int MaxEncodedBytes(int length) => length + length / LongestRun + 1;

    /// <param name="source">The frame.</param>
    /// <param name="destination">At least <see cref="MaxEncodedBytes"/> long; must not overlap the source.</param>
    /// <returns>Bytes written, without an ending 0x00.</returns>
    public static int Encode(ReadOnlySpan<byte> source, Span<byte> destination)
    {
        var codeAt = 0;
        var next = 1;
        for (var i = 0; i < source.Length; i++)
        {
            if (source[i] != 0) destination[next++] = source[i];
            var run = next - codeAt - 1;
            if (source[i] != 0 && (run < LongestRun || i == source.Length - 1)) continue;
            destination[codeAt] = (byte)(run + 1);
            codeAt = next++;
        }
        destination[codeAt] = (byte)(next - codeAt);
        return next;
    }

    /// <summary>Takes the stuffing out again. A superfluous 01 after a full run at the end, as some encoders write it, is accepted.</summary>
    /// <param name="source">Encoded bytes without the ending 0x00.</param>
    /// <param name="destination">Receives the frame.</param>
    /// <param name="length">Bytes written.</param>
    /// <returns>False if the source is empty, holds a zero or ends within a run, or if the destination is too short.</returns>
    public static bool TryDecode(ReadOnlySpan<byte> source, Span<byte> destination, out int length)
    {
        length = 0;
        if (source.IsEmpty) return false;
        var at = 0;
        while (at < source.Length)
        {
            var code = source[at++];
            var run = code - 1;
            if (code == 0 || run > source.Length - at || run > destination.Length - length) return false;
            var bytes = source.Slice(at, run);
            if (bytes.Contains((byte)0)) return false;
            bytes.CopyTo(destination[length..]);
            at += run;
            length += run;
            if (run == LongestRun || at == source.Length) continue;
            if (length == destination.Length) return false;
            destination[length++] = 0;
        }
        return true;
    }
}
