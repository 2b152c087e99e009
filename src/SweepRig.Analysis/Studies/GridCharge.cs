using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Studies;

/// <summary>Charge that a sweep drove into the grid.</summary>
public static class GridCharge
{
    /// <summary>Forward current of each sample above 0 V by the time since the sample before it.</summary>
    /// <param name="curve">One pass.</param>
    /// <param name="pointSeconds">Longest that a point takes, its settling included: counted where the rig's clock tells no time or more, as of a point that was measured again at the end of the pass.</param>
    /// <returns>In C, 0 or above; the uncertainties of the samples as if they were one error.</returns>
    public static Figure Of(Curve curve, double pointSeconds)
    {
        ArgumentNullException.ThrowIfNull(curve);
        double sum = 0, uncertainty = 0;
        for (var i = 0; i < curve.Count; i++)
        {
            if (!(curve.GridCurrent[i] > 0) || !(curve.Drive[i] > 0)) continue;
            var seconds = i > 0 && curve.SampledAtTicks[i] > 0 && curve.SampledAtTicks[i - 1] > 0
                ? Math.Min(pointSeconds, Math.Abs(curve.SampledAtTicks[i] - curve.SampledAtTicks[i - 1]) * 1e-6)
                : pointSeconds;
            sum += seconds * curve.GridCurrent[i];
            var known = i < curve.GridCurrentUncertainty.Length ? curve.GridCurrentUncertainty[i] : double.NaN;
            uncertainty += seconds * (double.IsFinite(known) ? known : 0);
        }
        return Figure.Of(sum, "C", uncertainty);
    }
}
