namespace SweepRig.Domain.Runs;

/// <summary>
/// The samples of one pass in the order of the program: columns of length <see cref="Count"/>, volts and amperes. A point that is missing is
/// NaN in every column, so that nothing joins over it.
/// </summary>
public sealed record Curve
{
    public required PassHeader Pass { get; init; }

    public int Count => Drive.Length;

    /// <summary>Drive before the grid stopper, from the DAC code and the calibration.</summary>
    public required double[] Drive { get; init; }

    public required double[] Grid { get; init; }
    public required double[] Plate { get; init; }
    public required double[] Screen { get; init; }
    public required double[] Supply { get; init; }

    /// <summary>Current into grid 1, from the drop over the grid stopper.</summary>
    public required double[] GridCurrent { get; init; }

    /// <summary>Current into the screen, from the drop over its resistor; NaN in triode connection.</summary>
    public required double[] ScreenCurrent { get; init; }

    /// <summary>Current through the plate resistor; in triode connection plate and screen together.</summary>
    public required double[] PlateCurrent { get; init; }

    /// <summary>Standard uncertainty of each plate voltage, volts: calibration, resolution and spread.</summary>
    public required double[] PlateUncertainty { get; init; }

    /// <summary>Standard uncertainty of each drive, volts: calibration of the DAC. Like the columns below empty where it was not estimated.</summary>
    public double[] DriveUncertainty { get; init; } = [];

    /// <summary>Of each grid voltage, volts: calibration, resolution and scatter.</summary>
    public double[] GridUncertainty { get; init; } = [];

    public double[] ScreenUncertainty { get; init; } = [];

    public double[] SupplyUncertainty { get; init; } = [];

    /// <summary>Of each grid current, amperes: calibration of both ends of the resistor with what they have in common, the resistor, resolution and scatter.</summary>
    public double[] GridCurrentUncertainty { get; init; } = [];

    public double[] ScreenCurrentUncertainty { get; init; } = [];

    public double[] PlateCurrentUncertainty { get; init; } = [];

    public required SampleFlags[] Flags { get; init; }

    /// <summary>Rig clock at the end of each sample in microseconds; 0 where missing.</summary>
    public required long[] SampledAtTicks { get; init; }
}
