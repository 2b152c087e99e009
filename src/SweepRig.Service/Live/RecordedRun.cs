using SweepRig.Analysis.Levels;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Calibration;
using SweepRig.Service.Contract;
using SweepRig.Storage;
using SweepRig.Storage.Exports;

namespace SweepRig.Service.Live;

/// <summary>A run as read back from the store, with its curves.</summary>
public sealed record RecordedRun(RunRecord Record, IReadOnlyList<Curve> Curves)
{
    public static async Task<RecordedRun> ReadAsync(RunStore store, RunRecord record, CancellationToken cancellationToken)
    {
        var blocks = new List<SampleBlock>();
        await foreach (var (_, block) in store.ReadBlocksAsync(record.Header.Id, 0, cancellationToken)) blocks.Add(block);
        return new(record, CurveBuilder.Build(record.Header, blocks));
    }

    public CurvesView CurvesView => new(Record.Header.Id, BenchViews.Of(Record.Header.Calibration), [.. Curves.Select(RunViews.Of)]);

    public RunLevelsView Levels() =>
        RunViews.Of(RunLevelFinder.Find(Record.Header.Id, Curves, Record.Header.Plan.Connection, new LevelOptions(), Record.Header.Calibration), Record.Header.Calibration);

    /// <summary>Name for a file of this run: tube, connection, id.</summary>
    public string FileName(string extension)
    {
        var label = string.Concat(Record.Header.Tube.Label.Select(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_' ? c : '_'));
        return $"{label}-{BenchViews.Word(Record.Header.Plan.Connection.Kind)}-{Record.Header.Id}.{extension}";
    }

    public Task WriteCsvAsync(TextWriter writer) => CurveCsv.WriteAsync(Record, Curves, writer);

    /// <summary>Writes the CSV to a file, making its directory if need be.</summary>
    /// <exception cref="IOException">It cannot be written.</exception>
    public Task WriteCsvAsync(string path)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(path))!);
        return WriteFileAsync(path, WriteCsvAsync);
    }

    /// <summary>Writes a file; an older one of that name is replaced only once the new one is whole.</summary>
    /// <exception cref="IOException">It cannot be written.</exception>
    public static async Task WriteFileAsync(string path, Func<TextWriter, Task> write)
    {
        var unfinished = $"{path}.{Environment.ProcessId}.new";
        try
        {
            // Without a byte order mark: RFC 4180 knows none.
            await using (var writer = new StreamWriter(unfinished, append: false, new System.Text.UTF8Encoding(false))) await write(writer);
            File.Move(unfinished, path, overwrite: true);
        }
        catch (Exception fault)
        {
            if (File.Exists(unfinished)) File.Delete(unfinished);
            if (fault is not (IOException or UnauthorizedAccessException)) throw;
            var why = Directory.Exists(Path.GetDirectoryName(Path.GetFullPath(path))) ? fault.Message.Replace(unfinished, path, StringComparison.Ordinal).TrimEnd('.') : "its directory does not exist";
            throw new IOException($"{path} cannot be written: {why}. Give another file, or make room or the directory.", fault);
        }
    }
}
