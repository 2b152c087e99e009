using MathNet.Numerics.LinearAlgebra;
using SweepRig.Analysis.Smoothing;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Rigs;

namespace SweepRig.Analysis.Levels;

/// <summary>
/// Small grid currents by the law of the retarding field, Ig = I₁·exp((Vg - V₁)/VT), VT = kT/e, with Vg = drive - R·Ig behind the stopper R, upon a straight line that the two channels show where no
/// current flows. Fitted to all readings up to <see cref="MostAmps"/>, where the law still holds (Maxwellian velocities: Spangenberg, Vacuum Tubes (1948), from memory). What the
/// curve cannot tell of the cathode's temperature is taken from what oxide cathodes are run at: 950 to 1150 K, rectangular (common practice, no source).
/// </summary>
internal sealed class RetardingField
{
    /// <summary>Above it the square-root law of current division begins to take over.</summary>
    public const double MostAmps = 4e-6;

    public const double UsualKelvin = 1050, UsualHalfWidth = 100;

    /// <summary>A slope outside is that of leakage or of an error of the meter.</summary>
    public const double ColdestKelvin = 800, HottestKelvin = 1300;

    private const double BoltzmannOverCharge = 8.617333262e-5;

    /// <summary>Reference current of the fit, A.</summary>
    private const double I1 = 1e-6;

    private readonly string? _absent;
    private readonly double _v1, _thermal, _noise;
    private readonly Matrix<double>? _covariance;
    private readonly int _first, _last;
    private readonly string? _mark;
    private readonly double _misfit;

    private RetardingField(string absent) => _absent = absent;

    private RetardingField(double v1, double thermal, Matrix<double> covariance, double noise, int first, int last, string? mark, double misfit)
    {
        (_v1, _thermal, _covariance, _noise, _first, _last, _mark, _misfit) = (v1, thermal, covariance, noise, first, last, mark, misfit);
    }

    /// <summary>Why there is no fit; null when there is one.</summary>
    public string? Absent => _absent;

    /// <summary>The temperature that the slope means. Unit: K.</summary>
    public double Kelvin => _thermal / BoltzmannOverCharge;

    /// <summary>Its standard deviation by the scatter of the readings. Unit: K.</summary>
    public double KelvinSigma => Math.Sqrt(_covariance![1, 1]) / BoltzmannOverCharge;

    /// <summary>Standard deviation of a reading of the grid current. Unit: A.</summary>
    public double Noise => _noise;

    /// <summary>Places in the trace that the fit leans on.</summary>
    public (int First, int Last) Stretch => (_first, _last);

    /// <summary>True where the readings depart from the law by more than their noise.</summary>
    public bool Departs => _misfit > 1;

    /// <param name="reading">One curve.</param>
    /// <param name="logFactor">Logarithm of what the current is multiplied by at each point of the trace beside the law; null for nothing.</param>
    /// <param name="usual">Whether what the curve does not tell of the temperature is taken from what oxide cathodes are run at.</param>
    public static RetardingField Fit(CurveReading reading, double[]? logFactor = null, bool usual = true)
    {
        var current = reading.GridCurrent;
        var trace = current.Trace;
        var values = Pilot.Of(current).Values;
        // The line is what the curve shows well below the onset; without such readings the calibration alone is the zero.
        var below = Array.FindLastIndex(trace.X, x => x <= CurrentLevels.NoGridCurrentBelow);
        var line = below >= 7 ? LocalPolynomial.Fit(trace, 0, below, trace.X[below], 1) : null;
        double Zero(double x) => line?.At(0, x) ?? 0;
        var last = -1;
        for (var i = 0; i < trace.Count && last < 0; i++)
        {
            if (values[i] - Zero(trace.X[i]) > MostAmps) last = i - 1;
        }
        var noise = current.NoiseAt(Math.Max(0, last));
        if (last < 0) return new($"the grid current stays below {CurveReading.Amps(MostAmps)} up to {CurveReading.Volts(trace.X[^1])} of drive: too little above the noise of {CurveReading.Amps(noise)} to tell its onset");
        var first = 0;
        for (var i = 1; i <= last; i++)
        {
            if (trace.GapBefore(i)) first = i;
        }
        if (line is not null && first > below) line = null;
        if (trace.GapBefore(last + 1) || last - first < 6)
            return new(trace.GapBefore(last + 1) ? CurveReading.InGap(trace, last + 1) : "fewer than 7 readings lie below the onset; sweep from a lower drive, in smaller steps");
        return Solve(reading, trace, noise, first, last, line, logFactor, usual);
    }

    private static RetardingField Solve(CurveReading reading, Trace trace, double noise, int first, int last, LocalPolynomial? line, double[]? logFactor, bool usual)
    {
        var ohms = reading.Known.Resistors[(int)ResistorPlace.GridStopper].Ohms;
        var withLine = line is not null;
        var parameters = withLine ? 4 : 2;
        const double middle = BoltzmannOverCharge * UsualKelvin;
        const double thermalSigma = BoltzmannOverCharge * UsualHalfWidth / 1.7320508075688772;
        var sigma = Math.Max(noise, 1e-12);
        // Scaled: volts over VT, VT over its prior, line in sigma.
        double[] p = [trace.X[last] - ohms * MostAmps - middle * Math.Log(MostAmps / I1), middle, 0, 0];
        if (line is not null) (p[2], p[3]) = (line.At(0, trace.X[last]), line.At(1, trace.X[last]));
        Matrix<double>? normal = null;
        double least = 0;
        Span<double> g = stackalloc double[4];
        for (var turn = 0; turn < 40; turn++)
        {
            var a = Matrix<double>.Build.Dense(parameters, parameters);
            var b = Vector<double>.Build.Dense(parameters);
            least = 0;
            for (var i = first; i <= last; i++)
            {
                var x = trace.X[i];
                // A factor shifts the law along its axis.
                var law = Law(x + p[1] * (logFactor?[i] ?? 0), p[0], p[1], ohms);
                var span = x - trace.X[last];
                // Ig = I1 exp((x - R Ig - V1)/VT): derivatives by the implicit function.
                var share = law / (p[1] + ohms * law);
                g[0] = -share;
                g[1] = -share * (x - ohms * law - p[0]) / p[1];
                g[2] = 1;
                g[3] = span;
                var residual = (trace.Y[i] - law - (withLine ? p[2] + p[3] * span : 0)) / sigma;
                least += residual * residual;
                for (var r = 0; r < parameters; r++)
                {
                    b[r] += g[r] / sigma * residual;
                    for (var c = 0; c < parameters; c++) a[r, c] += g[r] * g[c] / (sigma * sigma);
                }
            }
            if (usual)
            {
                a[1, 1] += 1 / (thermalSigma * thermalSigma);
                b[1] += (middle - p[1]) / (thermalSigma * thermalSigma);
            }
            normal = a;
            var step = a.Solve(b);
            if (!step.All(double.IsFinite)) return new("the grid current below the onset tells nothing: its readings are all alike");
            // A step of one thermal voltage at most keeps the exponential in bounds.
            var shrink = Math.Min(1, 1 / Math.Max(Math.Abs(step[0]) / p[1], 3 * Math.Abs(step[1]) / p[1]));
            for (var r = 0; r < parameters; r++) p[r] += shrink * step[r];
            if (shrink == 1 && Math.Abs(step[0]) < 1e-9 && Math.Abs(step[1]) < 1e-9) break;
        }
        var covariance = normal!.Inverse();
        if (!(covariance[0, 0] > 0) || Math.Sqrt(covariance[0, 0]) > p[1])
            return new($"the grid current below the onset does not stand out of its noise of {CurveReading.Amps(noise)}; average more");
        var kelvin = p[1] / BoltzmannOverCharge;
        var doubt = Math.Sqrt(covariance[1, 1]) / BoltzmannOverCharge;
        string? mark = null;
        if (kelvin < ColdestKelvin - 2 * doubt || kelvin > HottestKelvin + 2 * doubt)
            mark = FormattableString.Invariant($"its slope would mean a cathode of {kelvin:0} K, outside {ColdestKelvin} to {HottestKelvin} K: leakage, or an error of the meter");
        var free = last - first + 1 - parameters;
        var misfit = free > 0 ? least / (free * (1 + 5 * Math.Sqrt(2.0 / free))) : 0;
        if (misfit > 1) mark = CurveReading.Joined(mark, "the readings depart from the law by more than their noise");
        return new(p[0], p[1], covariance, noise, first, last, mark, misfit);
    }

    public Figure Onset(CurveReading reading, double amps)
    {
        if (_absent is not null) return Figure.None("V", _absent);
        var resistor = reading.Known.Resistors[(int)ResistorPlace.GridStopper];
        var log = Math.Log(amps / I1);
        var drive = _v1 + _thermal * log + resistor.Ohms * amps;
        var variance = _covariance![0, 0] + 2 * log * _covariance[0, 1] + log * log * _covariance[1, 1];
        var mark = CurveReading.Joined(
            $"extrapolated by the law of the retarding field from readings up to {CurveReading.Amps(MostAmps)}, as {CurveReading.Amps(amps)} lies under their noise of {CurveReading.Amps(_noise)}", _mark);
        // A current read too low by a resistor too high puts the onset later.
        return reading.Show(new(
            drive, "V", Math.Sqrt(variance), _first, _last,
            CurveReading.DriveTerm(drive), InputQuantity.Resistor(ResistorPlace.GridStopper).Times(_thermal / resistor.Ohms)) { Mark = mark });
    }

    /// <summary>The current that flows at a drive, by Newton's steps from above, which never overshoot.</summary>
    private static double Law(double drive, double v1, double thermal, double ohms)
    {
        var log = (drive - v1) / thermal;
        if (log < -60) return 0;
        // y = R Ig / VT solves y + ln y = log + ln(R I1/VT) (Lambert W).
        var target = log + Math.Log(ohms * I1 / thermal);
        var y = target > 1 ? target : Math.Exp(Math.Min(target, 1));
        for (var i = 0; i < 50; i++)
        {
            var next = y * (1 + target - Math.Log(y)) / (1 + y);
            if (!(next > 0)) next = y / 2;
            if (Math.Abs(next - y) < 1e-13 * y) return next * thermal / ohms;
            y = next;
        }
        return y * thermal / ohms;
    }
}
