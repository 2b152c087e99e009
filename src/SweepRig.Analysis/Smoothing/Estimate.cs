namespace SweepRig.Analysis.Smoothing;

/// <param name="Value">What was asked for.</param>
/// <param name="Sigma">Its standard uncertainty from the scatter of the readings and from the coarseness of the grid.</param>
/// <param name="First">First point it leans on.</param>
/// <param name="Last">Last point it leans on.</param>
/// <param name="BiasRemoved">False when only the polynomial that chose the window told the quantity.</param>
internal readonly record struct Estimate(double Value, double Sigma, int First, int Last, bool BiasRemoved = false)
{
    public static Estimate None { get; } = new(double.NaN, double.NaN, -1, -1);

    /// <summary>
    /// True when the window is so narrow that the shape and not the noise chose it: then the drive steps limit what can be known, and the scatter
    /// of the readings says too little.
    /// </summary>
    public bool LimitedByGrid => Last - First < 8;

    public bool Exists => !double.IsNaN(Value);
}
