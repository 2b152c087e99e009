using SweepRig.Analysis.Levels;
using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Calibration;
using SweepRig.Service.Calibrations;
using SweepRig.Service.Contract;
using SweepRig.Storage;
using SweepRig.Storage.Exports;

namespace SweepRig.Service.Live;

/// <summary>A run as read back from the store, with its curves.</summary>
/// <param name="Record">As it was recorded, with the calibration that it was measured with.</param>
/// <param name="InForce">What the curves and all figures are derived with; not always the one that the run was measured with.</param>
public sealed record RecordedRun(RunRecord Record, RigCalibration InForce, IReadOnlyList<Curve> Curves)
{
    /// <summary>As measured.</summary>
    public static Task<RecordedRun> ReadAsync(RunStore store, RunRecord record, CancellationToken cancellationToken) =>
        ReadAsync(store, record, record.Header.Calibration, cancellationToken);

    /// <summary>With the calibration that was asked for, see <see cref="CalibrationChoice"/>.</summary>
    public static async Task<Outcome<RecordedRun>> ReadAsync(
        RunStore store, CalibrationStore calibrations, RunRecord record, string? asked, CancellationToken cancellationToken)
    {
        var chosen = await CalibrationChoice.FindAsync(calibrations, record.Header, asked, cancellationToken);
        return chosen.IsAccepted
            ? Outcome<RecordedRun>.Accept(await ReadAsync(store, record, chosen.Value, cancellationToken))
            : Outcome<RecordedRun>.Refuse(chosen.Refusals);
    }

    public CurvesView CurvesView => new(Record.Header.Id, BenchViews.Of(InForce), [.. Drawn.Select(RunViews.Of)]);

    /// <summary>Curves as they are drawn: those of an adaptive sweep are one, in the order of its drives.</summary>
    public IReadOnlyList<Curve> Drawn => Record.Header.Plan.Adaptive is null ? Curves : ScatteredPasses.Together(Curves);

    /// <param name="budgets">With what each uncertainty is made of.</param>
    public RunLevelsView Levels(bool budgets = false) =>
        RunViews.Of(RunLevelFinder.Find(Header, Curves, new LevelOptions()), InForce, budgets);

    /// <summary>As recorded, with the calibration in force.</summary>
    public RunHeader Header => Record.Header with { Calibration = InForce };

    /// <summary>Name for a file of this run: tube, connection, id; and the calibration where it is another than the run was measured with.</summary>
    public string FileName(string extension)
    {
        var chosen = InForce.Id == Record.Header.Calibration.Id ? "" : "-" + Plain(InForce.Id);
        return $"{Plain(Record.Header.Tube.Label)}-{BenchViews.Word(Record.Header.Plan.Connection.Kind)}-{Record.Header.Id}{chosen}.{extension}";
    }

    public Task WriteCsvAsync(TextWriter writer) => CurveCsv.WriteAsync(Record with { Header = Record.Header with { Calibration = InForce } }, Curves, writer);

    /// <summary>Writes the CSV to a file, making its directory if need be.</summary>
    /// <exception cref="IOException">It cannot be written.</exception>
    public Task WriteCsvAsync(string path)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(path))!);
        return WriteFileAsync(path, WriteCsvAsync);
    }

    /// <summary>Writes a file; an older one of that name is replaced only once the new one is whole.</summary>
    /// <exception cref="IOException">It cannot be written.</exception>
    public static Task WriteFileAsync(string path, Func<TextWriter, Task> write) => WriteFileAsync(path, async (Stream file) =>
    {
        // Without a byte order mark: RFC 4180 knows none.
        await using var writer = new StreamWriter(file, new System.Text.UTF8Encoding(false), leaveOpen: true);
        await write(writer);
    });

    /// <summary>Writes a file; an older one of that name is replaced only once the new one is whole.</summary>
    /// <exception cref="IOException">It cannot be written.</exception>
    public static async Task WriteFileAsync(string path, Func<Stream, Task> write)
    {
        var unfinished = $"{path}.{Environment.ProcessId}.new";
        try
        {
            await using (var file = File.Create(unfinished)) await write(file);
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

    private static async Task<RecordedRun> ReadAsync(RunStore store, RunRecord record, RigCalibration inForce, CancellationToken cancellationToken)
    {
        var blocks = new List<SampleBlock>();
        await foreach (var (_, block) in store.ReadBlocksAsync(record.Header.Id, 0, cancellationToken)) blocks.Add(block);
        return new(record, inForce, CurveBuilder.Build(record.Header with { Calibration = inForce }, blocks));
    }

    /// <summary>Fit for a file name anywhere.</summary>
    private static string Plain(string text) => string.Concat(text.Select(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_' ? c : '_'));
}
