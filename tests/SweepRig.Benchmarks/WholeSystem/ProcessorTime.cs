using System.Diagnostics;

namespace SweepRig.Benchmarks.WholeSystem;

/// <summary>Processor time of another process as a share of one core.</summary>
public sealed class ProcessorTime(int processId)
{
    private readonly TimeSpan _before = Read(processId);
    private readonly long _since = Stopwatch.GetTimestamp();

    public double ShareOfOneCore() => (Read(processId) - _before) / Stopwatch.GetElapsedTime(_since);

    private static TimeSpan Read(int processId)
    {
        using var process = Process.GetProcessById(processId);
        return process.TotalProcessorTime;
    }
}
