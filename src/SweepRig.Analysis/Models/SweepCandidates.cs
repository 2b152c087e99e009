using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Models;

/// <summary>The sweeps among which the next one is chosen: what a bench can do without new parts, in steps that matter.</summary>
public static class SweepCandidates
{
    /// <summary>Points of each candidate.</summary>
    public const int Points = 64;

    private static readonly double[] PlateOhms = [2_200, 10_000, 47_000];

    /// <summary>Both connections, the rail as it is and three quarters of it, three plate resistors, cut-off to 0 V and, where allowed, up to positive drive; heater as it is and a tenth lower, as far as its rating allows.</summary>
    /// <param name="present">A connection in use: rails, heater, screen resistor and grid stopper are taken from it.</param>
    /// <param name="lowestDrive">Volts.</param>
    /// <param name="highestDrive">Volts; above 0 the candidates include positive drive.</param>
    public static IReadOnlyList<PlannedSweep> Around(Connection present, double lowestDrive, double highestDrive)
    {
        ArgumentNullException.ThrowIfNull(present);
        List<PlannedSweep> candidates = [];
        foreach (var kind in (ConnectionKind[])[ConnectionKind.Pentode, ConnectionKind.Triode])
            foreach (var rail in (double[])[1, 0.75])
                foreach (var ohms in PlateOhms.Append(present.PlateResistor.Value).Distinct())
                    foreach (var heater in (double[])[1, 0.9])
                    {
                        if (heater != 1 && (rail != 1 || ohms != present.PlateResistor.Value)) continue;
                        var connection = present with
                        {
                            Kind = kind,
                            PlateRail = new(rail * present.PlateRail.Value),
                            PlateResistor = new(ohms),
                            Heater = new(heater * present.Heater.Value),
                        };
                        candidates.Add(new(connection, Math.Min(lowestDrive, -1), 0, Points));
                        if (highestDrive > 0) candidates.Add(new(connection, Math.Min(lowestDrive, -1), highestDrive, Points));
                    }
        return candidates;
    }
}
