using System.IO.Compression;
using System.Text.RegularExpressions;

namespace SweepRig.Storage.Archives;

/// <summary>
/// An archive opened for reading: its names and lengths are looked at before anything of it is unpacked, and every part is measured against the manifest while it is read.
/// Nothing is ever written to a path that an archive names.
/// </summary>
internal sealed partial class ArchiveFile : IDisposable
{
    /// <summary>Longest part of each kind, bytes. Twenty million samples, the most of a run, need some 1.3 GB.</summary>
    private const long LongestManifest = 128 << 20, LongestDocument = 64 << 20, LongestCodes = 2L << 30;

    private const int MostParts = 1_000_000;

    /// <summary>What text shrinks to at best is far more than this share; DEFLATE can go down to 1/1032 (RFC 1951), which only a bomb does.</summary>
    private const int MostShrunk = 200, ShrunkMatters = 1 << 20;

    private readonly ZipArchive _zip;
    private readonly Dictionary<string, ZipArchiveEntry> _entries;

    private ArchiveFile(ZipArchive zip, Dictionary<string, ZipArchiveEntry> entries, ArchiveManifest manifest)
    {
        (_zip, _entries, Manifest) = (zip, entries, manifest);
        Parts = manifest.Parts.ToDictionary(p => p.Name, StringComparer.Ordinal);
    }

    public ArchiveManifest Manifest { get; }

    public IReadOnlyDictionary<string, ArchivePart> Parts { get; }

    /// <param name="stream">Seekable; stays open.</param>
    /// <exception cref="ArchiveException">It is no archive, cut short, edited, of a newer format, or dangerous.</exception>
    public static ArchiveFile Open(Stream stream)
    {
        ZipArchive zip;
        try
        {
            zip = new ZipArchive(stream, ZipArchiveMode.Read, leaveOpen: true);
            _ = zip.Entries.Count;
        }
        catch (Exception fault) when (fault is InvalidDataException or EndOfStreamException)
        {
            throw new ArchiveException("archive-unreadable", $"this file of {stream.Length} bytes has no table of contents at its end: it was cut short, or is no archive", "a whole archive", "Get another copy of it.", fault);
        }
        try
        {
            var entries = Entries(zip);
            if (!entries.TryGetValue(ArchiveManifest.FileName, out var listed))
                throw new ArchiveException("archive-without-manifest", $"there is no {ArchiveManifest.FileName} in it", "an archive begins with its manifest", "Give an archive that sweeprig archive wrote.");
            var manifest = ArchiveDocuments.ReadManifest(Whole(listed, LongestManifest));
            Compare(entries, manifest);
            return new(zip, entries, manifest);
        }
        catch
        {
            zip.Dispose();
            throw;
        }
    }

    /// <summary>A part in one piece, as its manifest says it must be.</summary>
    /// <exception cref="ArchiveException">It is not.</exception>
    public byte[] Document(string name)
    {
        var bytes = Whole(_entries[name], LongestDocument);
        var found = Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(bytes));
        return found == Parts[name].Sha256 && bytes.Length == Parts[name].Bytes ? bytes : throw Edited(name, found);
    }

    /// <summary>A part as a stream, to be given to <paramref name="read"/>, and measured when that is done.</summary>
    /// <exception cref="ArchiveException">It is not as the manifest says.</exception>
    public async Task<T> ReadAsync<T>(string name, Func<Stream, Task<T>> read)
    {
        using var unpacked = Unpack(_entries[name]);
        using var measured = new MeasuredStream(unpacked, Parts[name].Bytes, () => TooLong(name, Parts[name].Bytes));
        try
        {
            var result = await read(measured).ConfigureAwait(false);
            // What the reader left counts too.
            await measured.CopyToAsync(Stream.Null).ConfigureAwait(false);
            return measured.Sha256 == Parts[name].Sha256 ? result : throw Edited(name, measured.Sha256);
        }
        catch (InvalidDataException fault)
        {
            throw ArchiveDocuments.Damaged(name, "its compressed bytes have changed", fault);
        }
    }

    public void Dispose() => _zip.Dispose();

    private static Dictionary<string, ZipArchiveEntry> Entries(ZipArchive zip)
    {
        if (zip.Entries.Count > MostParts) throw new ArchiveException("archive-too-large", $"it has {zip.Entries.Count} parts", $"{MostParts} are allowed", "Write several smaller ones.");
        var entries = new Dictionary<string, ZipArchiveEntry>(StringComparer.Ordinal);
        foreach (var entry in zip.Entries)
        {
            if (!Name().IsMatch(entry.FullName))
                throw new ArchiveException("archive-strange-part", $"it has a part named \"{Printable(entry.FullName)}\"", "only the parts that SweepRig writes are read", "Do not trust this file; get the archive from where it was made.");
            if (!entries.TryAdd(entry.FullName, entry))
                throw new ArchiveException("archive-part-twice", $"{entry.FullName} stands in it twice", "each part stands once", "Do not trust this file; get the archive from where it was made.");
            var longest = entry.FullName == ArchiveManifest.FileName ? LongestManifest : entry.FullName.EndsWith(".csv", StringComparison.Ordinal) ? LongestCodes : LongestDocument;
            if (entry.Length > longest || (entry.Length > ShrunkMatters && entry.Length > MostShrunk * Math.Max(1, entry.CompressedLength)))
                throw new ArchiveException("archive-bomb", $"{entry.FullName} is said to unpack from {entry.CompressedLength} to {entry.Length} bytes", $"at most {longest} bytes, and {MostShrunk} times what is packed, are unpacked", "Do not trust this file; get the archive from where it was made.");
        }
        return entries;
    }

    private static void Compare(Dictionary<string, ZipArchiveEntry> entries, ArchiveManifest manifest)
    {
        var listed = new HashSet<string>(StringComparer.Ordinal) { ArchiveManifest.FileName };
        foreach (var part in manifest.Parts)
        {
            if (!listed.Add(part.Name)) throw ArchiveDocuments.Damaged(ArchiveManifest.FileName, $"{Printable(part.Name)} stands in it twice");
            if (!entries.TryGetValue(part.Name, out var entry))
                throw new ArchiveException("archive-part-missing", $"{Printable(part.Name)} is missing", "every part that the manifest lists must be there", "The archive was cut or edited; get another copy.");
            if (entry.Length != part.Bytes) throw Edited(part.Name, $"{entry.Length} bytes");
        }
        if (entries.Keys.FirstOrDefault(k => !listed.Contains(k)) is { } stray)
            throw new ArchiveException("archive-strange-part", $"{stray} is not in its manifest", "every part must be listed there", "The archive was edited; get it from where it was made.");
    }

    private static byte[] Whole(ZipArchiveEntry entry, long longest)
    {
        using var unpacked = Unpack(entry);
        // What the table of contents says of the length may be a lie.
        using var measured = new MeasuredStream(unpacked, Math.Min(longest, entry.Length), () => TooLong(entry.FullName, entry.Length));
        using var whole = new MemoryStream();
        try
        {
            measured.CopyTo(whole);
        }
        catch (InvalidDataException fault)
        {
            throw ArchiveDocuments.Damaged(entry.FullName, "its compressed bytes have changed", fault);
        }
        return whole.ToArray();
    }

    private static Stream Unpack(ZipArchiveEntry entry)
    {
        try
        {
            return entry.Open();
        }
        catch (InvalidDataException fault)
        {
            throw ArchiveDocuments.Damaged(entry.FullName, "its place in the file has changed", fault);
        }
    }

    private static ArchiveException TooLong(string part, long said) =>
        new("archive-bomb", $"{part} unpacks to more than the {said} bytes that are said of it", "a part is as long as its manifest says", "Do not trust this file; get the archive from where it was made.");

    private static ArchiveException Edited(string part, string found) =>
        new("archive-edited", $"{Printable(part)} is not what was archived: its manifest has another length or SHA-256 (found {found})", "every part must be as it was written", "It was edited or damaged on the way; get another copy.");

    private static string Printable(string name) => string.Concat(name.Take(80).Select(c => char.IsControl(c) ? '?' : c));

    [GeneratedRegex(@"\A(manifest\.json|README\.txt|stock\.json|runs/[0-9a-f]{32}\.(json|codes\.csv)|(calibrations|types)/[0-9]{1,6}\.json)\z")]
    private static partial Regex Name();
}
