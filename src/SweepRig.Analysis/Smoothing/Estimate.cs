namespace SweepRig.Analysis.Smoothing;

/// <param name="Value">What was asked for, with the bias of the noise taken off.</param>
/// <param name="Sigma">Its standard uncertainty from the scatter of the readings.</param>
/// <param name="First">First point it leans on.</param>
/// <param name="Last">Last point it leans on.</param>
/// <param name="LimitedByGrid">True when even the narrowest window is too wide for the bend: then the drive steps limit what can be known.</param>
internal readonly record struct Estimate(double Value, double Sigma, int First, int Last, bool LimitedByGrid = false)
{
    public static Estimate None { get; } = new(double.NaN, double.NaN, -1, -1);

    public bool Exists => !double.IsNaN(Value);
}
