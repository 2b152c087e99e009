namespace SweepRig.Logic.Networks;

/// <summary>A voltage as a function of time: straight between corners, level before the first and after the last, repeated if it has a period.</summary>
public sealed record Waveform
{
    private readonly (double Seconds, double Volts)[] _corners;
    private readonly double _period;

    private Waveform((double Seconds, double Volts)[] corners, double period) => (_corners, _period) = (corners, period);

    /// <summary>Moments in seconds and voltages, times rising.</summary>
    public IReadOnlyList<(double Seconds, double Volts)> Corners => _corners;

    /// <summary>The corners come again after this; 0 when they do not. Unit: s.</summary>
    public double PeriodSeconds => _period;

    public bool IsSteady => _corners.Length == 1;

    public static Waveform Steady(double volts) => new([(0, volts)], 0);

    /// <param name="corners">Times from 0 on, rising.</param>
    /// <param name="periodSeconds">0 for once only; else not before the last corner.</param>
    /// <exception cref="ArgumentException">No corners, times that do not rise, a negative time, or a period that ends before the last corner.</exception>
    public static Waveform Through(IReadOnlyList<(double Seconds, double Volts)> corners, double periodSeconds = 0)
    {
        ArgumentNullException.ThrowIfNull(corners);
        if (corners.Count == 0) throw new ArgumentException("A waveform needs a corner.", nameof(corners));
        for (var i = 0; i < corners.Count; i++)
        {
            if (corners[i].Seconds < 0 || i > 0 && corners[i].Seconds <= corners[i - 1].Seconds)
                throw new ArgumentException($"Corner {i} of the waveform is at {corners[i].Seconds} s; times start at 0 s or later and rise.", nameof(corners));
        }
        if (periodSeconds != 0 && periodSeconds < corners[^1].Seconds)
            throw new ArgumentException($"The period is {periodSeconds} s; the last corner is at {corners[^1].Seconds} s. Lengthen the period.", nameof(periodSeconds));
        return new([.. corners], corners.Count == 1 ? 0 : periodSeconds);
    }

    /// <summary>The voltage at a moment; before 0 it is what it is at 0.</summary>
    public double At(double seconds)
    {
        if (_corners.Length == 1) return _corners[0].Volts;
        var time = Folded(seconds);
        if (time <= _corners[0].Seconds) return _corners[0].Volts;
        for (var i = 1; i < _corners.Length; i++)
        {
            if (time > _corners[i].Seconds) continue;
            var (from, to) = (_corners[i - 1], _corners[i]);
            return from.Volts + (to.Volts - from.Volts) * (time - from.Seconds) / (to.Seconds - from.Seconds);
        }
        return _corners[^1].Volts;
    }

    /// <summary>The next corner after a moment, or null when none comes.</summary>
    public double? NextCorner(double seconds)
    {
        if (IsSteady) return null;
        var cycle = _period > 0 && seconds > 0 ? Math.Floor(seconds / _period) : 0;
        for (var turn = cycle; turn <= cycle + 1; turn++)
        {
            foreach (var (corner, _) in _corners)
            {
                var at = turn * _period + corner;
                if (at > seconds * (1 + 1e-12) + 1e-18) return at;
            }
            if (_period == 0) return null;
        }
        return null;
    }

    private double Folded(double seconds) => _period > 0 && seconds > 0 ? seconds - Math.Floor(seconds / _period) * _period : seconds;

    public bool Equals(Waveform? other) => other is not null && _period == other._period && _corners.AsSpan().SequenceEqual(other._corners);

    public override int GetHashCode() => HashCode.Combine(_period, _corners.Length, _corners[0]);
}
