using SweepRig.Domain;
using SweepRig.Domain.Quantities;

namespace SweepRig.Logic.Networks;

/// <summary>Whether the tubes that are given by their curves work where these were measured.</summary>
internal static class MeasuredTubeChecks
{
    private const double LeastVolts = 0.1;

    public static void Find(Network network, NetworkPlaces places, List<Refusal> faults)
    {
        foreach (var tube in network.Tubes)
        {
            if (tube.Curve is not { } curve) continue;
            var path = places.Of(tube);
            if (tube.Cathode != Network.Ground)
            {
                faults.Add(new("cathode-not-measured", path + "/cathode", $"the cathode of {tube.Name} is at node {tube.Cathode}", "its curve was measured with the cathode at 0 V", "Take \"measured\" out, so that its model is taken."));
                continue;
            }
            var (load, ohms, rail) = (PlateLoad.Of(network, tube.Plate), curve.Connection.PlateResistor.Value, curve.Connection.PlateRail.Value);
            if (Math.Abs(load.Ohms - ohms) <= MeasuredCurve.LoadShare * ohms && Math.Abs(load.Volts - rail) <= Math.Max(LeastVolts, MeasuredCurve.LoadShare * rail)) continue;
            faults.Add(new("load-not-measured", path, $"the plate of {tube.Name} works into {Ohms(load.Ohms)} from {Volts(load.Volts)}",
                FormattableString.Invariant($"its curve was measured with {Ohms(ohms)} from {Volts(rail)}, and {MeasuredCurve.LoadShare * 100:0.#} % off is allowed"),
                FormattableString.Invariant($"Sweep it with a plate resistor of {Math.Round(load.Ohms)} Ω and a plate rail of {Volts(load.Volts)}, or take \"measured\" out, so that its model is taken.")));
        }
    }

    private static string Volts(double volts) => Engineering.Format(volts, "V", 4);

    private static string Ohms(double ohms) => Engineering.Format(ohms, "Ω", 4);
}
