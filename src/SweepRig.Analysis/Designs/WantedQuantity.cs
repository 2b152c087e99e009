using SweepRig.Domain.Measurement;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Designs;

/// <summary>The quantity whose uncertainty the next sweep is to shrink.</summary>
public abstract record WantedQuantity
{
    /// <summary>One constant of the tube.</summary>
    public sealed record Constant(TubeParameter Parameter) : WantedQuantity;

    /// <summary>The output in a connection at a drive, volts.</summary>
    /// <param name="Known">What the calibration leaves unknown with that connection's resistors.</param>
    public sealed record Output(Connection Connection, MeasurementUncertainty Known, double Drive) : WantedQuantity;

    /// <summary>The switching point in a connection, between two drives, volts.</summary>
    /// <param name="Known">What the calibration leaves unknown with that connection's resistors.</param>
    public sealed record Switching(Connection Connection, MeasurementUncertainty Known, double FromDrive, double ToDrive) : WantedQuantity;

    /// <summary>All constants together: the determinant of their covariance.</summary>
    public sealed record Everything : WantedQuantity;
}
