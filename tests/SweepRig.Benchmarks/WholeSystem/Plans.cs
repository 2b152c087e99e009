using System.Text.Json.Nodes;

namespace SweepRig.Benchmarks.WholeSystem;

/// <summary>Plans used for measuring. All stay below 0 V drive, so that no permit is needed.</summary>
public static class Plans
{
    /// <param name="points">Points of each pass.</param>
    /// <param name="dwellMicroseconds">Wait at each point.</param>
    /// <param name="repeats">Passes.</param>
    public static JsonObject Negative(int points, int dwellMicroseconds, int repeats = 1) => new()
    {
        ["format"] = "sweep-plan/1",
        ["name"] = "measurement",
        ["drive"] = new JsonObject { ["startVolts"] = -12, ["stopVolts"] = -0.5, ["points"] = points, ["direction"] = "up" },
        ["dwellMicroseconds"] = dwellMicroseconds,
        ["averaging"] = new JsonObject { ["conversions"] = 1 },
        ["repeats"] = repeats,
        ["connection"] = new JsonObject
        {
            ["kind"] = "pentode",
            ["plateRailVolts"] = 28,
            ["biasRailVolts"] = -14,
            ["heaterVolts"] = 6.3,
            ["plateResistorOhms"] = 10000,
            ["screenResistorOhms"] = 100,
            ["gridStopperOhms"] = 4700,
        },
    };
}
