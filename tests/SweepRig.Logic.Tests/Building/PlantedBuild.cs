using SweepRig.Analysis.Uncertainty;
using SweepRig.Logic.Building;

namespace SweepRig.Logic.Tests.Building;

/// <summary>A build in numbers: parts off their values within tolerance, a fault in it, a meter that is a little off.</summary>
internal static class PlantedBuild
{
    public static IReadOnlyList<BuildReading> Read(BuildPlan plan, BuildFault fault, BuildTolerances tolerances, IReadOnlyList<string> nodes, ulong seed, double meterOhms = TestVoltages.UsualMeterOhms)
    {
        var random = new RandomStream(seed * 0x9E3779B97F4A7C15UL);
        var bench = new BuildBench(fault.Apply(plan.Network));
        var factors = new BuildFactors(bench, tolerances);
        // Rectangular for what is bought by a tolerance, normal for what drifts: both of deviation 1.
        var by = Enumerable.Range(0, factors.Count).Select(f => factors.IsBounded(f) ? Math.Sqrt(3) * (2 * random.Uniform() - 1) : random.Normal()).ToArray();
        var readings = new List<BuildReading>();
        foreach (var row in plan.Rows)
        {
            for (var f = 0; f < by.Length; f++) factors.Put(f, by[f], row);
            // The inputs are put to what they are off by after they were set.
            Assert.True(bench.Set(row), $"{fault.Says}: {row.Name} does not come to rest");
            for (var f = 0; f < by.Length; f++) factors.Put(f, by[f], row);
            foreach (var node in nodes)
            {
                var volts = bench.Read(node, meterOhms);
                Assert.True(double.IsFinite(volts), $"{fault.Says}: {node} in {row.Name} does not come to rest");
                readings.Add(new(node, row.Name, volts + tolerances.Meter(volts) * random.Normal(), meterOhms));
            }
        }
        return readings;
    }
}
