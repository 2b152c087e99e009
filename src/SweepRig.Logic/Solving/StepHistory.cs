namespace SweepRig.Logic.Solving;

/// <summary>The last few moments of a transient: what predicts the next one and tells the error made in reaching it.</summary>
internal sealed class StepHistory(int nodes)
{
    private readonly double[][] _volts = [new double[nodes], new double[nodes], new double[nodes]];
    private readonly double[] _times = new double[3];
    private int _count;

    /// <summary>Voltages at the last moment.</summary>
    public ReadOnlySpan<double> Last => _volts[0];

    public void Restart(double time, ReadOnlySpan<double> volts)
    {
        _count = 0;
        Add(time, volts);
    }

    public void Add(double time, ReadOnlySpan<double> volts)
    {
        var oldest = _volts[2];
        (_volts[2], _volts[1], _volts[0]) = (_volts[1], _volts[0], oldest);
        (_times[2], _times[1], _times[0]) = (_times[1], _times[0], time);
        volts.CopyTo(_volts[0]);
        _count = Math.Min(3, _count + 1);
    }

    /// <summary>Goes on along the line or parabola through the last moments.</summary>
    public void Predict(double time, Span<double> volts)
    {
        var h = time - _times[0];
        for (var n = 0; n < nodes; n++)
        {
            var v = _volts[0][n];
            if (_count > 1) v += h * First(n);
            if (_count > 2) v += h * (time - _times[1]) * Second(n);
            volts[n] = v;
        }
    }

    /// <summary>Error of the step to a moment, in units of what is allowed; 0 while too few moments are known.</summary>
    public double Error(double time, ReadOnlySpan<double> volts, bool euler, TransientOptions options)
    {
        if (_count < (euler ? 2 : 3)) return _count == 1 ? FirstError(volts, options) : 0;
        var h = time - _times[0];
        var worst = 0.0;
        for (var n = 1; n < nodes; n++)
        {
            var first = (volts[n] - _volts[0][n]) / h;
            var second = (first - First(n)) / (time - _times[1]);
            // h^2/2 v'' with v'' = 2 dd2, and h^3/12 v''' with v''' = 6 dd3.
            var error = euler ? h * h * second : 0.5 * h * h * h * (second - Second(n)) / (time - _times[2]);
            worst = Math.Max(worst, Math.Abs(error) / (options.AbsoluteVolts + options.RelativeTolerance * Math.Abs(volts[n])));
        }
        return worst;
    }

    // With one moment known no curvature can be told: the step itself is kept small.
    private double FirstError(ReadOnlySpan<double> volts, TransientOptions options)
    {
        var worst = 0.0;
        for (var n = 1; n < nodes; n++)
            worst = Math.Max(worst, Math.Abs(volts[n] - _volts[0][n]) / (100 * (options.AbsoluteVolts + options.RelativeTolerance * Math.Abs(volts[n]))));
        return worst;
    }

    private double First(int n) => (_volts[0][n] - _volts[1][n]) / (_times[0] - _times[1]);

    private double Second(int n) => (First(n) - (_volts[1][n] - _volts[2][n]) / (_times[1] - _times[2])) / (_times[0] - _times[2]);
}
