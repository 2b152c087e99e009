namespace SweepRig.Logic.Margins;

/// <summary>Levels at which the gain of a stage passes -1, and the margins that they leave to what drives it.</summary>
/// <param name="InputLow">VIL: below it a disturbance of the input comes out smaller. Unit: V; null with the reason in <paramref name="Says"/>.</param>
/// <param name="InputHigh">VIH: above it the same.</param>
/// <param name="Says">Why one of them is missing; null when both are there.</param>
public sealed record UnityMargins(double? InputLow, double? InputHigh, string? Says)
{
    private const int Looks = 2_000;

    /// <summary>VIL less the low level that drives the stage.</summary>
    /// <param name="low">That level. Unit: V.</param>
    public double? MarginLow(double low) => InputLow - low;

    /// <summary>The high level that drives the stage less VIH.</summary>
    /// <param name="high">That level. Unit: V.</param>
    public double? MarginHigh(double high) => high - InputHigh;

    /// <summary>Looks over the whole range of inputs; nothing is told beyond it.</summary>
    public static UnityMargins Of(Transfer curve)
    {
        ArgumentNullException.ThrowIfNull(curve);
        double? low = null, high = null;
        var before = curve.Low;
        var steepBefore = curve.Slope(before) < -1;
        if (steepBefore) return Without("the gain is beyond -1 at the lowest input already", curve);
        for (var n = 1; n <= Looks; n++)
        {
            var x = curve.Low + (curve.High - curve.Low) * n / Looks;
            var steep = curve.Slope(x) < -1;
            if (steep && !steepBefore && low is null) low = Cross(curve, before, x);
            if (!steep && steepBefore) high = Cross(curve, before, x);
            (before, steepBefore) = (x, steep);
        }
        if (low is null) return Without("the gain does not reach -1 anywhere", curve);
        return high is null || steepBefore ? new(low, null, $"there is no second point of gain -1 up to the highest input of {curve.High:0.###} V") : new(low, high, null);
    }

    private static UnityMargins Without(string why, Transfer curve) => new(null, null, $"{why} between {curve.Low:0.###} and {curve.High:0.###} V");

    private static double Cross(Transfer curve, double a, double b)
    {
        var steepAtA = curve.Slope(a) < -1;
        for (var n = 0; n < 60; n++)
        {
            var x = 0.5 * (a + b);
            if (curve.Slope(x) < -1 == steepAtA) a = x;
            else b = x;
        }
        return 0.5 * (a + b);
    }
}
