namespace SweepRig.Analysis.Smoothing;

/// <param name="Value">What was asked for.</param>
/// <param name="Sigma">Its standard uncertainty from the scatter of the readings and from the coarseness of the grid.</param>
/// <param name="First">First point it leans on.</param>
/// <param name="Last">Last point it leans on.</param>
/// <param name="BiasRemoved">False when only the polynomial that chose the window told the quantity.</param>
internal readonly record struct Estimate(double Value, double Sigma, int First, int Last, bool BiasRemoved = false)
{
    public static Estimate None { get; } = new(double.NaN, double.NaN, -1, -1);

    public bool Exists => !double.IsNaN(Value);
}
