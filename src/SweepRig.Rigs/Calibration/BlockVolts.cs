namespace SweepRig.Rigs.Calibration;

/// <summary>A block in volts and amperes, one array a column, in the order of the block. Empty where a channel was not measured.</summary>
public sealed record BlockVolts(
    double[] Drive,
    double[] Grid,
    double[] Plate,
    double[] Screen,
    double[] Supply,
    double[] GridCurrent,
    double[] ScreenCurrent,
    double[] PlateCurrent);
