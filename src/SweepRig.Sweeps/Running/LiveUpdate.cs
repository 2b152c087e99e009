using SweepRig.Domain.Runs;
using SweepRig.Rigs.Calibration;

namespace SweepRig.Sweeps.Running;

/// <summary>What a viewer receives. Blocks are recorded before they get here.</summary>
public abstract record LiveUpdate
{
    /// <summary>The bench changed.</summary>
    public sealed record State(BenchState Bench) : LiveUpdate;

    /// <summary>A run is on record and about to sweep.</summary>
    public sealed record RunStarted(RunHeader Header) : LiveUpdate;

    /// <summary>Samples as recorded, with their place in the run.</summary>
    /// <param name="Sequence">As stored; a jump means that this viewer skipped.</param>
    /// <param name="Volts">The same in volts and amperes.</param>
    /// <param name="NewestSampleUtc">Host estimate of when the last sample was taken.</param>
    public sealed record Block(string RunId, long Sequence, SampleBlock Samples, BlockVolts Volts, DateTimeOffset NewestSampleUtc) : LiveUpdate;

    public sealed record PassEnded(string RunId, PassHeader Pass) : LiveUpdate;

    public sealed record RunEnded(string RunId, RunState Final) : LiveUpdate;

    /// <summary>The screening round moved on; whoever shows it fetches it anew.</summary>
    /// <param name="Version">Higher at each change.</param>
    public sealed record RoundChanged(long Version) : LiveUpdate;

    /// <summary>The night moved on; whoever shows it fetches it anew.</summary>
    /// <param name="Version">Higher at each change.</param>
    public sealed record NightChanged(long Version) : LiveUpdate;

    /// <summary>The viewer was so far behind that starts or ends of passes or runs were dropped: what it shows of runs must be fetched anew.</summary>
    public sealed record Missed : LiveUpdate;
}
