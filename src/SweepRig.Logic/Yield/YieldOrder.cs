using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Yield;

/// <summary>What varies from one built network to the next, and how far.</summary>
/// <param name="ResistorTolerance">Half width, as a share: 0.05 for 5 %. Every value within is equally likely.</param>
/// <param name="RailTolerance">The same for both rails, each by itself.</param>
/// <param name="CurrentDrift">Of the perveance of each tube, one standard deviation as a share: what its measurement and its ageing leave open.</param>
/// <param name="OffsetDriftVolts">Of the grid offset of each tube, one standard deviation. Unit: V.</param>
/// <param name="EmissionDrift">Of the emission of each tube, one standard deviation of its logarithm.</param>
public sealed record Tolerances(double ResistorTolerance, double RailTolerance, double CurrentDrift, double OffsetDriftVolts, double EmissionDrift)
{
    /// <summary>5 % resistors, rails within 5 %, tubes that wander by 5 %, 50 mV and 10 % (illustrative).</summary>
    public static Tolerances Usual { get; } = new(0.05, 0.05, 0.05, 0.05, 0.10);

    /// <summary>A tube moved by so many standard deviations of each.</summary>
    internal TubeParameters Moved(TubeParameters tube, double current, double offset, double emission) => tube with
    {
        Perveance = tube.Perveance * Math.Exp(CurrentDrift * current),
        GridOffset = tube.GridOffset + OffsetDriftVolts * offset,
        Emission = tube.Emission * Math.Exp(EmissionDrift * emission),
    };
}

/// <summary>How a part weighs in the yield.</summary>
/// <param name="Part">Name of the resistor, source or tube; a tube with the quantity that varies.</param>
/// <param name="Share">Of the variance of the worst distance, by the square of the correlation. 0 to 1; all shares of an additive network add up to 1.</param>
/// <param name="Correlation">Above 0 when more of it is better.</param>
public sealed record YieldWeight(string Part, double Share, double Correlation);

/// <summary>Every part at its adverse end in a row.</summary>
/// <param name="At">As the factors have it.</param>
/// <param name="Volts">Distance there.</param>
/// <param name="Reach">How far of the way there the row is right.</param>
internal sealed record YieldCorner(double[] At, double Volts, double Reach);

/// <summary>What came of the trials.</summary>
/// <param name="Trials">Networks built in numbers.</param>
/// <param name="Good">Of them right in every row, with the distance asked for.</param>
/// <param name="Low">Lower end of the 95 % interval of the yield (Clopper and Pearson 1934, Biometrika 26, 404).</param>
/// <param name="High">Upper end.</param>
/// <param name="Distances">Worst distance of each trial from the threshold, sorted; minus the whole swing where it fell over. Unit: V.</param>
/// <param name="Weights">The heaviest first: what to buy tighter, what to sort.</param>
/// <param name="CornerVolts">
/// The worst distance with every part at its adverse end, tubes at two standard deviations; minus the whole swing where the network falls over there. Below 0 it tells that a row is wrong and
/// not how nearly it is right, for stages behind a signal on its edge tip over whole. Unit: V.
/// </param>
/// <param name="Solutions">Direct-current solutions that it took.</param>
public sealed record YieldResult(int Trials, int Good, double Low, double High, IReadOnlyList<double> Distances, IReadOnlyList<YieldWeight> Weights, double CornerVolts, long Solutions)
{
    public double Share => (double)Good / Trials;

    /// <summary>Trials in which the network, let go from the state of a row, left it for another or came to no rest. None of them is good.</summary>
    public int FellOver { get; init; }

    /// <summary>How far of the way from nominal to the worst corner every row is right; 1 for all of it.</summary>
    public double CornerReach { get; init; } = 1;

    /// <summary>That vary, each by itself. All of them are on their adverse side at once in one of two to that power.</summary>
    public int Quantities { get; init; }
}
