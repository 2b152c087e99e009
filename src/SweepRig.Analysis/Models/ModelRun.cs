using SweepRig.Domain.Measurement;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Models;

/// <summary>One run of a tube as a fit takes it.</summary>
/// <param name="Name">How the run is called in what the fit says; its identifier, say.</param>
/// <param name="Connection">As recorded: kind, rails, heater, resistors as measured where they were.</param>
/// <param name="Curves">Its passes; missing points are NaN.</param>
/// <param name="Known">What the calibration leaves unknown.</param>
/// <param name="Stepped">What <see cref="PassHeader.SecondSourceVolts"/> of the passes is; null without a family.</param>
public sealed record ModelRun(string Name, Connection Connection, IReadOnlyList<Curve> Curves, MeasurementUncertainty Known, SteppedSource? Stepped = null)
{
    /// <summary>True where neighbours in a pass are no neighbours on the curve, as in an adaptive sweep: all its passes are then one set of points under the same conditions.</summary>
    public bool HasScatteredPoints { get; init; }

    /// <param name="header">Of the run, with the calibration that the curves were made with.</param>
    /// <param name="curves">Its passes.</param>
    public static ModelRun Of(RunHeader header, IReadOnlyList<Curve> curves)
    {
        ArgumentNullException.ThrowIfNull(header);
        var plan = header.Plan;
        return new(header.Id, header.Calibration.Measured(plan.Connection), curves, MeasurementUncertainty.Of(header), plan.SecondSource?.Source) { HasScatteredPoints = plan.Adaptive is not null };
    }

    /// <summary>Heater voltage of a pass, volts.</summary>
    internal double Heater(Curve curve) =>
        Stepped == SteppedSource.Heater && curve.Pass.SecondSourceVolts is { } volts ? volts : Connection.Heater.Value;
}
