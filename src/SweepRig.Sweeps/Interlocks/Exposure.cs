namespace SweepRig.Sweeps.Interlocks;

/// <summary>
/// Time and charge above 0 V, of the pass and of the last minute, on the rig's clock. The minute is kept in steps of 2 s; the oldest, which lies in it only in part, is
/// left out, so that it holds 58 to 60 s and never trips on what was let before. Equal when all that it counts is.
/// </summary>
public sealed class Exposure : IEquatable<Exposure>
{
    private const double StepSeconds = 2;
    private const int Steps = 30;

    /// <summary>No point takes longer; a longer silence between two samples says nothing of what happened in it, and trips by a rule of its own.</summary>
    private const double LongestGapSeconds = 10;

    private readonly double[] _seconds;
    private readonly double[] _coulombs;
    private readonly long _step;
    private readonly double _last;

    private Exposure(double[] seconds, double[] coulombs, long step, double last) => (_seconds, _coulombs, _step, _last) = (seconds, coulombs, step, last);

    public static Exposure None { get; } = new(new double[Steps], new double[Steps], 0, double.NaN);

    public double PassSeconds { get; private init; }

    public double PassCoulombs { get; private init; }

    public double MinuteSeconds { get; private init; }

    public double MinuteCoulombs { get; private init; }

    /// <param name="block">Its time and charge above 0 V, and when it began and ended.</param>
    public Exposure With(in BlockSummary block)
    {
        if (double.IsNaN(block.LastSeconds)) return this;
        // A point lasts from the end of the one before to its own end, and its drive with it.
        var gap = block.FirstSeconds - _last;
        var between = block.StartsPositive && gap < LongestGapSeconds ? Math.Max(0, gap) : 0;
        var (seconds, coulombs) = (block.PositiveSeconds + between, block.GridCoulombs + between * Math.Max(0, block.FirstGridCurrent));
        var step = (long)Math.Floor(block.LastSeconds / StepSeconds);
        var (ofSeconds, ofCoulombs) = (new double[Steps], new double[Steps]);
        // A clock that begins anew is one of a rig that has restarted; nothing of before can be placed on it.
        var on = step < _step ? Steps : step - _step;
        for (var i = 0; i + on < Steps; i++) (ofSeconds[i + on], ofCoulombs[i + on]) = (_seconds[i], _coulombs[i]);
        ofSeconds[0] += seconds;
        ofCoulombs[0] += coulombs;
        var (allSeconds, allCoulombs) = (0.0, 0.0);
        for (var i = 0; i < Steps; i++) (allSeconds, allCoulombs) = (allSeconds + ofSeconds[i], allCoulombs + ofCoulombs[i]);
        return new(ofSeconds, ofCoulombs, step, block.LastSeconds)
        {
            PassSeconds = PassSeconds + seconds,
            PassCoulombs = PassCoulombs + coulombs,
            MinuteSeconds = allSeconds,
            MinuteCoulombs = allCoulombs,
        };
    }

    /// <summary>The minute stays, the pass begins anew.</summary>
    public Exposure ForNextPass() => new(_seconds, _coulombs, _step, double.NaN) { MinuteSeconds = MinuteSeconds, MinuteCoulombs = MinuteCoulombs };

    public bool Equals(Exposure? other) => other is not null && _step == other._step && _last.Equals(other._last)
        && PassSeconds.Equals(other.PassSeconds) && PassCoulombs.Equals(other.PassCoulombs) && _seconds.AsSpan().SequenceEqual(other._seconds) && _coulombs.AsSpan().SequenceEqual(other._coulombs);

    public override bool Equals(object? obj) => Equals(obj as Exposure);

    public override int GetHashCode() => HashCode.Combine(_step, _last, PassSeconds, MinuteSeconds);
}
