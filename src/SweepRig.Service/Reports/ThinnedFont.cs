using System.Buffers.Binary;

namespace SweepRig.Service.Reports;

/// <summary>
/// A TrueType font with the outlines of some glyphs only, all under their own numbers, and without the tables that placing text does not need. A PDF takes a font in whole,
/// and a sheet of two pages needs a hundredth of it. Layout of the tables: ISO/IEC 14496-22 (Open Font Format), clauses 5.2 and 5.3.
/// </summary>
internal static class ThinnedFont
{
    private const uint TrueType = 0x00010000;
    private const int CheckSumAdjustment = 8, LongLoca = 50;

    // Composite glyphs: two words of arguments, another part follows, and one of the three kinds of scale.
    private const int Words = 1, More = 0x20, Scale = 8, TwoScales = 0x40, Matrix = 0x80;

    private static readonly string[] Kept = ["OS/2", "cmap", "cvt ", "fpgm", "glyf", "head", "hhea", "hmtx", "loca", "maxp", "name", "post", "prep"];

    /// <param name="font">A font file.</param>
    /// <param name="glyphs">Numbers of those to keep; the glyph for what is missing (0) and the parts of composite ones are kept with them.</param>
    /// <returns>The font file; null where it is no TrueType font or one that is built in another way.</returns>
    public static byte[]? Of(byte[] font, IEnumerable<ushort> glyphs)
    {
        if (Tables(font) is not { } tables || !Kept.Except(["cvt ", "fpgm", "prep", "OS/2", "name"]).All(tables.ContainsKey)) return null;
        var (glyf, loca, head) = (tables["glyf"], tables["loca"], tables["head"]);
        var isLong = Short(head.Span, LongLoca) != 0;
        var count = loca.Length / (isLong ? 4 : 2) - 1;
        (int From, int To) Place(int glyph) => isLong
            ? ((int)Long(loca.Span, 4 * glyph), (int)Long(loca.Span, 4 * glyph + 4))
            : (2 * Short(loca.Span, 2 * glyph), 2 * Short(loca.Span, 2 * glyph + 2));

        SortedSet<ushort> wanted = [0];
        var waiting = new Stack<ushort>(glyphs);
        while (waiting.TryPop(out var glyph))
        {
            if (glyph >= count || !wanted.Add(glyph)) continue;
            var (from, to) = Place(glyph);
            foreach (var part in Parts(glyf.Span[from..to])) waiting.Push(part);
        }

        using var outlines = new MemoryStream();
        var places = new byte[4 * (count + 1)];
        for (var glyph = 0; glyph < count; glyph++)
        {
            Put(places, 4 * glyph, (uint)outlines.Length);
            if (!wanted.Contains((ushort)glyph)) continue;
            var (from, to) = Place(glyph);
            outlines.Write(glyf.Span[from..to]);
            outlines.Write(new byte[-(int)outlines.Length & 3]);
        }
        Put(places, 4 * count, (uint)outlines.Length);

        var newHead = head.ToArray();
        Put(newHead, CheckSumAdjustment, 0);
        BinaryPrimitives.WriteInt16BigEndian(newHead.AsSpan(LongLoca), 1);
        (tables["glyf"], tables["loca"], tables["head"]) = (outlines.ToArray(), places, newHead);
        // Version 3: no names of glyphs.
        var post = tables["post"].Span[..32].ToArray();
        Put(post, 0, 0x00030000);
        tables["post"] = post;
        return File([.. Kept.Where(tables.ContainsKey).Select(name => (name, tables[name]))]);
    }

    private static Dictionary<string, ReadOnlyMemory<byte>>? Tables(byte[] font)
    {
        if (font.Length < 12 || Long(font, 0) != TrueType) return null;
        var tables = new Dictionary<string, ReadOnlyMemory<byte>>(StringComparer.Ordinal);
        for (var i = 0; i < Short(font, 4); i++)
        {
            var entry = font.AsSpan(12 + 16 * i, 16);
            tables[System.Text.Encoding.ASCII.GetString(entry[..4])] = font.AsMemory((int)Long(entry, 8), (int)Long(entry, 12));
        }
        return tables;
    }

    private static List<ushort> Parts(ReadOnlySpan<byte> glyph)
    {
        List<ushort> parts = [];
        // A number of contours below 0 marks a composite.
        if (glyph.Length < 10 || (short)Short(glyph, 0) >= 0) return parts;
        for (var at = 10; ;)
        {
            var flags = Short(glyph, at);
            parts.Add((ushort)Short(glyph, at + 2));
            at += 4 + ((flags & Words) != 0 ? 4 : 2) + ((flags & Scale) != 0 ? 2 : (flags & TwoScales) != 0 ? 4 : (flags & Matrix) != 0 ? 8 : 0);
            if ((flags & More) == 0) return parts;
        }
    }

    private static byte[] File(IReadOnlyList<(string Name, ReadOnlyMemory<byte> Data)> tables)
    {
        var start = 12 + 16 * tables.Count;
        var file = new byte[start + tables.Sum(t => t.Data.Length + 3 & ~3)];
        Put(file, 0, TrueType);
        var power = (int)Math.Log2(tables.Count);
        ushort[] search = [(ushort)tables.Count, (ushort)(16 << power), (ushort)power, (ushort)(16 * tables.Count - (16 << power))];
        for (var i = 0; i < search.Length; i++) BinaryPrimitives.WriteUInt16BigEndian(file.AsSpan(4 + 2 * i), search[i]);
        var head = 0;
        for (var i = 0; i < tables.Count; i++)
        {
            var (name, data) = tables[i];
            data.Span.CopyTo(file.AsSpan(start));
            var padded = data.Length + 3 & ~3;
            var entry = 12 + 16 * i;
            System.Text.Encoding.ASCII.GetBytes(name, file.AsSpan(entry));
            Put(file, entry + 4, CheckSum(file.AsSpan(start, padded)));
            Put(file, entry + 8, (uint)start);
            Put(file, entry + 12, (uint)data.Length);
            if (name == "head") head = start;
            start += padded;
        }
        Put(file, head + CheckSumAdjustment, 0xB1B0AFBAu - CheckSum(file));
        return file;
    }

    private static uint CheckSum(ReadOnlySpan<byte> data)
    {
        var sum = 0u;
        for (var i = 0; i < data.Length; i += 4) sum += Long(data, i);
        return sum;
    }

    private static int Short(ReadOnlySpan<byte> data, int at) => BinaryPrimitives.ReadUInt16BigEndian(data[at..]);

    private static uint Long(ReadOnlySpan<byte> data, int at) => BinaryPrimitives.ReadUInt32BigEndian(data[at..]);

    private static void Put(byte[] data, int at, uint value) => BinaryPrimitives.WriteUInt32BigEndian(data.AsSpan(at), value);
}
