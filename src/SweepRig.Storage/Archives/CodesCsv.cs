using System.Globalization;
using System.Text;
using SweepRig.Domain;
using SweepRig.Domain.Runs;

namespace SweepRig.Storage.Archives;

/// <summary>
/// The samples of a run as the rig sent them, one a line, as a table after RFC 4180 with whole numbers alone: nothing is derived, so that any calibration can be applied to them.
/// A channel that was not measured has empty fields. Flags: 1 settled, 2 clipped, 4 measured again.
/// </summary>
internal static class CodesCsv
{
    /// <summary>Longer than any line that can be right.</summary>
    private const int LongestLine = 200;

    private const int Leading = 9;

    private static readonly string[] Channels = [.. RigChannels.All.Select(c => c.ToString().ToLowerInvariant() + " code")];

    public static string Header { get; } = string.Join(',', (string[])["block", "pass", "frame", "point", "rig time (us)", "drive setting code", "flags", "conversions", "spread", .. Channels]);

    public static async Task WriteAsync(IAsyncEnumerable<StoredBlock> blocks, Stream to, CancellationToken cancellationToken)
    {
        var writer = new StreamWriter(to, new UTF8Encoding(false), 1 << 16, leaveOpen: true) { NewLine = "\r\n" };
        await using (writer.ConfigureAwait(false))
        {
            await writer.WriteLineAsync(Header.AsMemory(), cancellationToken).ConfigureAwait(false);
            var text = new StringBuilder();
            // Counted anew: a block without samples has no line.
            var sequence = 0L;
            await foreach (var (_, block) in blocks.WithCancellation(cancellationToken).ConfigureAwait(false))
            {
                if (block.Count == 0) continue;
                text.Clear();
                for (var i = 0; i < block.Count; i++) Append(text, sequence, block, i);
                sequence++;
                await writer.WriteAsync(text, cancellationToken).ConfigureAwait(false);
            }
        }
    }

    /// <exception cref="ArchiveException">A line is not what it must be.</exception>
    public static IEnumerable<SampleBlock> Read(Stream from, string part)
    {
        using var reader = new StreamReader(from, new UTF8Encoding(false, throwOnInvalidBytes: false), detectEncodingFromByteOrderMarks: false, 1 << 16, leaveOpen: true);
        var lines = new ShortLines(reader, part, LongestLine);
        if (lines.Next() is not { } header || header != Header) throw lines.Fault("the column names are not those of this format");
        var rows = new List<long?[]>();
        var sequence = 0L;
        while (lines.Next() is { } line)
        {
            var row = Numbers(line, lines);
            if (rows.Count > 0 && row[0] != sequence)
            {
                yield return Block(rows, lines);
                rows.Clear();
                sequence++;
            }
            if (row[0] != sequence) throw lines.Fault($"block {row[0]} follows block {sequence - (rows.Count == 0 ? 1 : 0)}");
            if (rows.Count == Blocks.BlockBlob.MaxSamples) throw lines.Fault($"block {sequence} has more than {Blocks.BlockBlob.MaxSamples} samples");
            rows.Add(row);
        }
        if (rows.Count > 0) yield return Block(rows, lines);
    }

    private static void Append(StringBuilder text, long sequence, SampleBlock block, int i)
    {
        var culture = CultureInfo.InvariantCulture;
        text.Append(culture, $"{sequence},{block.Pass},{block.FrameIndex},{block.PointIndex[i]},{block.SampledAtTicks[i]},{block.DriveCode[i]},{(int)block.Flags[i]},{block.AveragedCount[i]},{block.Spread[i]}");
        foreach (var codes in block.Codes)
        {
            text.Append(',');
            if (codes.Length > 0) text.Append(culture, $"{codes[i]}");
        }
        text.Append("\r\n");
    }

    private static long?[] Numbers(string line, ShortLines at)
    {
        var fields = line.Split(',');
        if (fields.Length != Leading + Channels.Length) throw at.Fault($"{fields.Length} fields stand there, {Leading + Channels.Length} belong there");
        var row = new long?[fields.Length];
        for (var i = 0; i < fields.Length; i++)
        {
            if (fields[i].Length == 0 && i >= Leading) continue;
            // Pass and frame are counted in 32 bit, the clock in 63, all else in 16.
            var most = i switch { 0 or 4 => long.MaxValue, 1 or 2 => int.MaxValue, 6 => byte.MaxValue, _ => ushort.MaxValue };
            if (!long.TryParse(fields[i], NumberStyles.None, CultureInfo.InvariantCulture, out var number) || number > most) throw at.Fault($"\"{fields[i]}\" is no whole number from 0 to {most}");
            row[i] = number;
        }
        return row;
    }

    private static SampleBlock Block(List<long?[]> rows, ShortLines at)
    {
        var first = rows[0];
        if (rows.Any(r => r[1] != first[1] || r[2] != first[2])) throw at.Fault($"the lines of block {first[0]} differ in pass or frame");
        ushort[] Column(int column) => [.. rows.Select(r => (ushort)r[column]!.Value)];
        ushort[] Codes(int column)
        {
            var present = rows.Count(r => r[column] is not null);
            if (present != 0 && present != rows.Count) throw at.Fault($"block {first[0]} has a channel for some of its samples only");
            return present == 0 ? [] : Column(column);
        }
        return new()
        {
            Pass = (int)first[1]!.Value,
            FrameIndex = (int)first[2]!.Value,
            PointIndex = Column(3),
            SampledAtTicks = [.. rows.Select(r => r[4]!.Value)],
            DriveCode = Column(5),
            Flags = [.. rows.Select(r => (SampleFlags)r[6]!.Value)],
            AveragedCount = Column(7),
            Spread = Column(8),
            Codes = [.. Enumerable.Range(Leading, Channels.Length).Select(Codes)],
        };
    }
}
