namespace SweepRig.Logic.Building;

/// <summary>What a meter is to show at a node.</summary>
/// <param name="Row">Name of the row.</param>
/// <param name="Node">Of the network.</param>
/// <param name="Volts">Without a meter. Unit: V.</param>
/// <param name="ReadVolts">With the meter at it, whose own resistance is part of what it shows.</param>
/// <param name="Tolerance">Half width within which about 95 % of sound builds read (coverage factor 2), the meter's own error included.</param>
public sealed record TestVoltage(string Row, string Node, double Volts, double ReadVolts, double Tolerance);

/// <summary>Works out the test voltages of a build.</summary>
public static class TestVoltages
{
    /// <summary>Resistance of most digital meters on direct voltage (common practice, no source). Unit: ohm.</summary>
    public const double UsualMeterOhms = 10e6;

    /// <summary>Decimals with which a reading and its tolerance are written: those that the tolerance has at two digits.</summary>
    public static int Decimals(double tolerance) => tolerance >= 1 ? 1 : tolerance >= 0.1 ? 2 : 3;

    /// <param name="meterOhms">Input resistance of the meter, 1 kΩ to 1 TΩ.</param>
    /// <returns>Every node in every row. Tolerances are added in squares; how far a node follows a part is taken without the meter.</returns>
    public static IReadOnlyList<TestVoltage> Of(BuildPlan plan, BuildTolerances tolerances, double meterOhms = UsualMeterOhms)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(tolerances);
        ArgumentOutOfRangeException.ThrowIfLessThan(meterOhms, BuildCheck.LeastMeterOhms);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(meterOhms, BuildCheck.MostMeterOhms);
        var bench = new BuildBench(plan.Network);
        var factors = new BuildFactors(bench, tolerances);
        var found = new List<TestVoltage>();
        foreach (var row in plan.Rows)
        {
            if (!bench.Set(row)) throw new InvalidOperationException($"SweepRig bug: row {row.Name} of {plan.Network.Name} was solved before and is not now.");
            var follows = factors.Follow(row);
            foreach (var node in plan.Nodes)
            {
                var at = bench.Values.Circuit.NodeOf(node);
                var read = bench.Read(node, meterOhms);
                var parts = follows.Sum(f => (double)f[at] * f[at]);
                var meter = tolerances.Meter(read);
                found.Add(new(row.Name, node, row.Volts[node], read, 2 * Math.Sqrt(parts + meter * meter)));
            }
        }
        return found;
    }
}
