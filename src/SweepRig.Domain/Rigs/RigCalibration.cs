using SweepRig.Domain.Tubes;

namespace SweepRig.Domain.Rigs;

/// <summary>How far a rig's channels depart from nominal. Stored with each run, so that a better one can be applied to old codes.</summary>
/// <param name="Id">Identifier; <c>nominal</c> when nothing was calibrated.</param>
/// <param name="RigSerialNumber">The rig it was made for.</param>
/// <param name="Channels">Correction of each measured channel, in link order.</param>
/// <param name="Drive">Correction of the drive.</param>
public sealed record RigCalibration(string Id, string RigSerialNumber, IReadOnlyList<VoltageCorrection> Channels, VoltageCorrection Drive)
{
    public const string NominalId = "nominal";

    /// <summary>Words that stand for a choice where a calibration is asked for: no calibration has one of them as its id.</summary>
    public const string Newest = "newest", AsMeasured = "as-measured";

    /// <summary>What no calibration may be called.</summary>
    public static IReadOnlyList<string> ReservedIds { get; } = [NominalId, Newest, AsMeasured];

    /// <summary>A plan means the resistor that was measured when its value is this near to the nominal one.</summary>
    private const double SameResistor = 0.001;

    /// <summary>When, with what and by whom it was made; null for nominal values.</summary>
    public CalibrationOrigin? Origin { get; init; }

    /// <summary>The fixture's resistors as measured; empty when none was.</summary>
    public IReadOnlyList<MeasuredResistor> Resistors { get; init; } = [];

    /// <summary>Rails as measured when it was made; for the record alone.</summary>
    public IReadOnlyList<MeasuredRail> Rails { get; init; } = [];

    /// <summary>True on a run that was made after the calibration's time was over.</summary>
    public bool IsStale { get; init; }

    public bool IsNominal => Id == NominalId;

    /// <summary>No corrections; the uncertainty is what an uncalibrated divider of 1 % resistors and its converter offset leave.</summary>
    public static RigCalibration Nominal(RigIdentity rig) =>
        new(NominalId, rig.SerialNumber, [.. rig.Channels.Select(_ => VoltageCorrection.Nominal)], VoltageCorrection.Nominal);

    /// <summary>The calibration as it stands at a time: stale from its last day on.</summary>
    public RigCalibration At(DateTimeOffset utc) => this with { IsStale = Origin is { } origin && utc >= origin.ValidUntilUtc };

    /// <summary>Standard uncertainty of the difference of two channels, volts. What the reference meter did to both alike falls out of it (JCGM 100:2008, 5.2.2).</summary>
    public double DifferenceUncertainty(RigChannel a, double aVolts, RigChannel b, double bVolts)
    {
        var (ca, cb) = (Channels[(int)a], Channels[(int)b]);
        var fits = Square(ca.FitUncertaintyAt(aVolts)) + Square(cb.FitUncertaintyAt(bVolts));
        return Math.Sqrt(fits + Square(Math.Max(ca.MeterGainLimit, cb.MeterGainLimit) * (aVolts - bVolts)) / 3);
    }

    /// <summary>The resistor that was measured, when a plan that names this value means it.</summary>
    /// <returns>Null when it was not measured, or the plan names another one.</returns>
    public MeasuredResistor? FindResistor(ResistorPlace place, double plannedOhms) =>
        Resistors.FirstOrDefault(r => r.Place == place && Math.Abs(plannedOhms - r.NominalOhms) <= SameResistor * r.NominalOhms);

    /// <summary>Resistance to reckon with where a plan names a value: the measured one, when the plan means the resistor that was measured.</summary>
    public double Ohms(ResistorPlace place, double plannedOhms) => FindResistor(place, plannedOhms)?.Ohms ?? plannedOhms;

    /// <summary>The connection with its resistors as measured.</summary>
    public Connection Measured(Connection planned) => Resistors.Count == 0 ? planned : planned with
    {
        PlateResistor = new(Ohms(ResistorPlace.Plate, planned.PlateResistor.Value)),
        ScreenResistor = new(Ohms(ResistorPlace.Screen, planned.ScreenResistor.Value)),
        GridStopper = new(Ohms(ResistorPlace.GridStopper, planned.GridStopper.Value)),
    };

    private static double Square(double x) => x * x;
}
