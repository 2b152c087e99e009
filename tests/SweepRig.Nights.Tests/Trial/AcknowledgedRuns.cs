using System.Globalization;

namespace SweepRig.Nights;

/// <summary>
/// What the store said that it had of each run, in a file: the trial weighs the memory of its process, and a list that grows with the night would be weighed with it.
/// </summary>
/// <param name="path">Of the file; made anew.</param>
internal sealed class AcknowledgedRuns(string path) : IDisposable
{
    private readonly Lock _lock = new();
    private readonly StreamWriter _file = new(path, append: false) { AutoFlush = true };

    public void Add(AcknowledgedRun run)
    {
        lock (_lock) _file.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{run.Id} {run.Samples} {run.Sum:x32}"));
    }

    public IReadOnlyList<AcknowledgedRun> All()
    {
        lock (_lock) return [.. File.ReadLines(path).Select(line => line.Split(' ')).Select(f => new AcknowledgedRun(f[0], long.Parse(f[1], CultureInfo.InvariantCulture), UInt128.Parse(f[2], NumberStyles.HexNumber, CultureInfo.InvariantCulture)))];
    }

    public void Dispose() => _file.Dispose();
}

/// <param name="Sum">Over all blocks in their order.</param>
internal sealed record AcknowledgedRun(string Id, long Samples, UInt128 Sum);
