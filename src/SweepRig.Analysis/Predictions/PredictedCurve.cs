using MathNet.Numerics.Distributions;
using SweepRig.Analysis.Uncertainty;
using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Predictions;

/// <summary>What a bench will read of a fitted tube in a connection.</summary>
/// <param name="Connection">As asked for.</param>
/// <param name="RailVolts">Plate rail that it was worked out with: the one asked for, off by as much as the rail of the runs was off its plan. Volts.</param>
/// <param name="Drive">Volts, rising.</param>
/// <param name="Plate">Output to be read, volts, one a drive.</param>
/// <param name="Uncertainty">Standard uncertainty of each, volts: constants of the tube, calibration, resistors; without the scatter of single readings. Never more than that of an output anywhere between cathode and rail.</param>
/// <param name="ScatterVolts">Standard deviation to be expected of a single reading about the curve, volts.</param>
/// <param name="Beyond">Each a sentence: where the prediction leaves what the runs have shown. Empty inside.</param>
public sealed record PredictedCurve(
    Connection Connection, double RailVolts, double[] Drive, double[] Plate, double[] Uncertainty, double ScatterVolts, IReadOnlyList<string> Beyond);

/// <summary>A measured pass against what was predicted for it.</summary>
/// <param name="Pass">Index within its run.</param>
/// <param name="Drive">Volts, in the order measured, usable points only.</param>
/// <param name="Measured">Output read, volts.</param>
/// <param name="Predicted">Output predicted for these drives and the rail as it was read, volts.</param>
/// <param name="Uncertainty">Standard uncertainty of the difference of the two, volts, scatter of the reading included.</param>
public sealed record CheckedPass(int Pass, double[] Drive, double[] Measured, double[] Predicted, double[] Uncertainty);

/// <summary>Whether a prediction held.</summary>
/// <param name="Passes">Of the run that it is held against.</param>
/// <param name="CoverageFactor">Standard uncertainties within which the whole of a curve stays with 95 % probability; above 2, since a curve has many points.</param>
/// <param name="Within">True when every point lies within it.</param>
/// <param name="WorstDrive">Drive where the deviation is greatest against its uncertainty, volts.</param>
/// <param name="WorstDeviation">Measured less predicted there, volts.</param>
/// <param name="WorstAllowed">What is stated there: coverage factor times standard uncertainty, volts.</param>
/// <param name="Points">Points compared.</param>
/// <param name="PointsWithin">Of them, points within.</param>
public sealed record PredictionCheck(
    IReadOnlyList<CheckedPass> Passes, double CoverageFactor, bool Within, double WorstDrive, double WorstDeviation, double WorstAllowed, int Points, int PointsWithin)
{
    /// <summary>How often chance alone takes a true prediction as far off as makes it <see cref="Contradicted"/>.</summary>
    public const double Rare = 0.001;

    /// <summary>
    /// True when the deviation is greater than chance makes it once in a thousand. One true prediction in twenty leaves what is stated somewhere; to call it wrong
    /// for that would be wrong as often. The tail beyond the coverage factor is taken as normal, a curve's many points as so many independent ones as the factor tells.
    /// </summary>
    public bool Contradicted => !Within && Math.Abs(WorstDeviation) / WorstAllowed * CoverageFactor > RareFactor;

    private double RareFactor => -Normal.InvCDF(0, 1, Normal.CDF(0, 1, -CoverageFactor) * Rare / (1 - Coverage.Probability));
}
