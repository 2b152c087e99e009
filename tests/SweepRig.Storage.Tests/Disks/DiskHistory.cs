using System.Text;

namespace SweepRig.Storage.Tests.Disks;

/// <summary>
/// All that a process did to the files of its store, in order. What a disk may hold after the power failed is made as SQLite's own crash tests make it (https://www.sqlite.org/testing.html,
/// "Crash Testing"): what was flushed is there; of what was written since, any part may be, in units of a sector, in any order.
/// </summary>
internal sealed class DiskHistory
{
    /// <summary>What a disk writes whole or not at all; the smallest that is in use.</summary>
    private const int Sector = 512;

    private const byte Name = 1, Write = 2, Truncate = 3, Sync = 4, SyncDirectory = 5, Unlink = 6;

    private readonly List<(byte Kind, int File, long Offset, byte[] Data)> _steps = [];
    private readonly List<string> _names = [];

    /// <summary>Number of moments at which the power may fail.</summary>
    public int Count => _steps.Count;

    /// <summary>Moments at which the power is to fail: before and after each flush, and among the writes between two of them each third.</summary>
    public IEnumerable<int> Moments => Enumerable.Range(0, Count + 1).Where(m => m % 3 == 0 || m == Count || Flushes(m) || (m > 0 && Flushes(m - 1)));

    public static DiskHistory Read(string log)
    {
        var history = new DiskHistory();
        using var reader = new BinaryReader(File.OpenRead(log));
        while (reader.BaseStream.Position < reader.BaseStream.Length)
        {
            var (kind, file, offset) = (reader.ReadByte(), reader.ReadInt32(), reader.ReadInt64());
            // A truncation has a length to cut to in the place of the offset, and no data.
            var data = reader.ReadBytes(reader.ReadInt32());
            if (kind == Name) history._names.Add(Encoding.UTF8.GetString(data));
            else history._steps.Add((kind, file, offset, data));
        }
        return history;
    }

    /// <summary>The same of a process that flushes nothing.</summary>
    public DiskHistory WithoutFlushes()
    {
        var other = new DiskHistory();
        other._names.AddRange(_names);
        other._steps.AddRange(_steps.Where(s => s.Kind != Sync));
        return other;
    }

    /// <summary>Lays out a directory as the disk may be when the power fails after so many steps.</summary>
    /// <returns>Lines that the process had written to the file of acknowledgements before.</returns>
    public IReadOnlyList<string> LayOut(int steps, string directory, Random random)
    {
        var files = _names.Select(_ => new DiskFile()).ToArray();
        foreach (var (kind, file, offset, data) in _steps.Take(steps))
        {
            if (kind == SyncDirectory)
            {
                foreach (var each in files) each.NameIsKept();
                continue;
            }
            var target = files[file];
            if (kind == Write) target.Write(offset, data);
            else if (kind == Truncate) target.Truncate(offset);
            else if (kind == Sync) target.Flush();
            else if (kind == Unlink) target.Unlink();
            else throw new InvalidDataException($"Step {kind}.");
        }
        IReadOnlyList<string> acknowledged = [];
        for (var i = 0; i < files.Length; i++)
        {
            // The test's own note of what it was told is no part of the disk.
            if (_names[i] == "acknowledged") acknowledged = Encoding.UTF8.GetString(files[i].Newest()).Split('\n', StringSplitOptions.RemoveEmptyEntries);
            else if (files[i].AfterPowerCut(random) is { } content) File.WriteAllBytes(Path.Combine(directory, _names[i]), content);
        }
        return acknowledged;
    }

    private bool Flushes(int step) => _steps[step].Kind is Sync or SyncDirectory or Unlink;

    private sealed class DiskFile
    {
        private readonly List<(long Offset, byte[]? Data)> _since = [];
        private byte[] _flushed = [];
        private bool _exists;
        private bool _nameKept;
        private byte[]? _deleted;

        public void Write(long offset, byte[] data)
        {
            _exists = true;
            _since.Add((offset, data));
        }

        public void Truncate(long length)
        {
            _exists = true;
            _since.Add((length, null));
        }

        public void Flush()
        {
            _flushed = Newest();
            _since.Clear();
        }

        public void NameIsKept()
        {
            _nameKept |= _exists;
            _deleted = null;
        }

        // Gone for good only with the next flush of the directory; until then it may be there again.
        public void Unlink()
        {
            _deleted = _nameKept ? _flushed : null;
            (_exists, _nameKept, _flushed) = (false, false, []);
            _since.Clear();
        }

        public byte[] Newest() => _since.Aggregate(_flushed, (content, step) => Apply(content, step.Offset, step.Data, null));

        /// <returns>Null where not even the name of the file is on the disk.</returns>
        public byte[]? AfterPowerCut(Random random)
        {
            if (!_exists) return random.Next(2) == 0 ? _deleted : null;
            if (!_nameKept && _flushed.Length == 0 && random.Next(2) == 0) return null;
            // All, none or any of what was not flushed.
            var luck = random.Next(3);
            return _since.Aggregate(_flushed, (content, step) => luck == 0 ? content : Apply(content, step.Offset, step.Data, luck == 1 ? null : random));
        }

        private static byte[] Apply(byte[] content, long offset, byte[]? data, Random? random)
        {
            if (data is null)
            {
                if (random?.Next(2) == 0) return content;
                Array.Resize(ref content, (int)offset);
                return content;
            }
            content = (byte[])content.Clone();
            if (content.Length < offset + data.Length && random?.Next(4) != 0) Array.Resize(ref content, (int)offset + data.Length);
            for (var at = 0; at < data.Length;)
            {
                var until = (int)Math.Min(data.Length, Sector - (offset + at) % Sector + at);
                var room = (int)Math.Min(until - at, content.Length - offset - at);
                if (room > 0 && random?.Next(2) != 0) Array.Copy(data, at, content, offset + at, room);
                at = until;
            }
            return content;
        }
    }
}
