using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Domain.Measurement;

/// <summary>
/// What the calibration in force leaves unknown of the volts, ohms and amperes of a run: the systematic part, which stays the same however often a point is
/// measured. Scatter and resolution of single readings are not in it. Immutable.
/// </summary>
/// <remarks>
/// A figure is written as its terms, each an input with the derivative of the figure by it; <see cref="StandardUncertainty"/> then is the law of propagation with all
/// covariances (JCGM 100:2008, 5.2.2, equation (13)). Correlated are: two voltages of one place, through the parameters of its correction; all calibrated voltages, through
/// the one gain error and the one zero error of the reference meter; all measured resistors, through the meter's error in ohms. Volts and ohms are taken as independent.
/// </remarks>
/// <param name="Calibration">That everything here leans on: tells nominal, stale, and where it extrapolates.</param>
/// <param name="Voltages">Indexed by <see cref="VoltagePlace"/>; null for a channel that the rig does not have.</param>
/// <param name="Resistors">Indexed by <see cref="ResistorPlace"/>.</param>
public sealed record MeasurementUncertainty(RigCalibration Calibration, IReadOnlyList<VoltageUncertainty?> Voltages, IReadOnlyList<ResistorUncertainty> Resistors)
{
    /// <summary>Of a run, as its header says; the calibration of the header may be another than the run was made with.</summary>
    public static MeasurementUncertainty Of(RunHeader header)
    {
        ArgumentNullException.ThrowIfNull(header);
        return Of(header.Rig, header.Calibration, header.Plan.Connection);
    }

    /// <param name="rig">For the resolution of its channels.</param>
    /// <param name="calibration">In force, or chosen.</param>
    /// <param name="planned">Resistors as the plan names them; those that were measured take their place.</param>
    public static MeasurementUncertainty Of(RigIdentity rig, RigCalibration calibration, Connection planned)
    {
        ArgumentNullException.ThrowIfNull(rig);
        ArgumentNullException.ThrowIfNull(calibration);
        ArgumentNullException.ThrowIfNull(planned);
        var voltages = new VoltageUncertainty?[RigChannels.Count + 1];
        for (var i = 0; i < Math.Min(rig.Channels.Count, calibration.Channels.Count); i++)
            voltages[i] = new((VoltagePlace)i, calibration.Channels[i], rig.Channels[i].ResolutionUncertaintyVolts);
        voltages[(int)VoltagePlace.Drive] = new(VoltagePlace.Drive, calibration.Drive, 0);
        return new(calibration, voltages,
        [
            Resistor(calibration, ResistorPlace.Plate, planned.PlateResistor.Value),
            Resistor(calibration, ResistorPlace.Screen, planned.ScreenResistor.Value),
            Resistor(calibration, ResistorPlace.GridStopper, planned.GridStopper.Value),
        ]);
    }

    /// <summary>Covariance of two inputs, in the product of their units; the variance where they are the same. NaN where a channel does not exist or a voltage is NaN.</summary>
    public double Covariance(InputQuantity a, InputQuantity b) => (a.VoltageAt, b.VoltageAt) switch
    {
        ({ } at, { } bt) => Covariance(at, a.Volts, bt, b.Volts),
        (null, null) => Covariance(Resistors[(int)a.ResistorAt], Resistors[(int)b.ResistorAt]),
        _ => 0,
    };

    /// <summary>Covariance of two figures, in the product of their units.</summary>
    public double Covariance(ReadOnlySpan<FigureTerm> a, ReadOnlySpan<FigureTerm> b)
    {
        var sum = 0.0;
        foreach (var x in a)
            foreach (var y in b) sum += x.Sensitivity * y.Sensitivity * Covariance(x.Input, y.Input);
        return sum;
    }

    /// <summary>Standard uncertainty of a figure, in its unit.</summary>
    public double StandardUncertainty(params ReadOnlySpan<FigureTerm> figure) => Math.Sqrt(Math.Max(0, Covariance(figure, figure)));

    /// <summary>The terms of a current: (from - to)/R.</summary>
    /// <param name="current">Which.</param>
    /// <param name="fromVolts">Corrected voltage that it comes from: the drive for the grid current, else the plate rail.</param>
    /// <param name="toVolts">Corrected voltage at the pin.</param>
    public FigureTerm[] CurrentTerms(MeasuredCurrent current, double fromVolts, double toVolts)
    {
        var (from, to, over) = current switch
        {
            MeasuredCurrent.Grid => (VoltagePlace.Drive, VoltagePlace.Grid, ResistorPlace.GridStopper),
            MeasuredCurrent.Screen => (VoltagePlace.Supply, VoltagePlace.Screen, ResistorPlace.Screen),
            _ => (VoltagePlace.Supply, VoltagePlace.Plate, ResistorPlace.Plate),
        };
        var ohms = Resistors[(int)over].Ohms;
        return
        [
            InputQuantity.Voltage(from, fromVolts).Times(1 / ohms),
            InputQuantity.Voltage(to, toVolts).Times(-1 / ohms),
            InputQuantity.Resistor(over).Times(-(fromVolts - toVolts) / (ohms * ohms)),
        ];
    }

    /// <summary>Standard uncertainty of a current, amperes.</summary>
    public double CurrentUncertainty(MeasuredCurrent current, double fromVolts, double toVolts) => StandardUncertainty(CurrentTerms(current, fromVolts, toVolts));

    private double Covariance(VoltagePlace a, double aVolts, VoltagePlace b, double bVolts)
    {
        if (Voltages[(int)a]?.Correction is not { } ca || Voltages[(int)b]?.Correction is not { } cb) return double.NaN;
        var meter = (ca.MeterGainLimit * aVolts * cb.MeterGainLimit * bVolts + ca.MeterZeroLimitVolts * cb.MeterZeroLimitVolts) / 3;
        return a == b ? ca.FitCovariance(aVolts, bVolts) + meter : meter;
    }

    private static double Covariance(ResistorUncertainty a, ResistorUncertainty b) =>
        a.Place == b.Place ? a.UncertaintyOhms * a.UncertaintyOhms : a.SharedOhms * b.SharedOhms;

    private static ResistorUncertainty Resistor(RigCalibration calibration, ResistorPlace place, double plannedOhms) =>
        calibration.FindResistor(place, plannedOhms) is { } measured ? ResistorUncertainty.Of(measured, calibration.Origin?.Meter) : ResistorUncertainty.Planned(place, plannedOhms);
}
