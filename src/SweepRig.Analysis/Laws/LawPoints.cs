using SweepRig.Analysis.Models;
using SweepRig.Domain.Measurement;

namespace SweepRig.Analysis.Laws;

/// <summary>The points of a pass that a law without grid current speaks of: drive below 0 V, and no drop over the grid stopper.</summary>
internal static class LawPoints
{
    // Below this no tube's grid takes electrons (onset is at some -0.3 to -1.3 V: common practice, no source); what grid and drive differ by there is the channels' doing.
    private const double NoCurrentBelow = -1.3;

    private const double Drop = 6;

    /// <summary>Places within the pass, rising.</summary>
    public static int[] Of(PassData pass)
    {
        var below = Enumerable.Range(0, pass.Count).Where(i => pass.Drive[i] < 0);
        if (pass.Channels.FirstOrDefault(c => c.Place == VoltagePlace.Grid) is not { } grid) return [.. below];
        double Lag(int i) => pass.Drive[i] - grid.Volts[i];
        var quiet = below.Where(i => pass.Drive[i] < NoCurrentBelow).ToList();
        if (quiet.Count < 3) return [.. below.Where(i => Math.Abs(Lag(i)) <= Drop * grid.Scatter)];
        // Offset and gain of the two channels make a line of it.
        double x = quiet.Average(i => pass.Drive[i]), y = quiet.Average(Lag);
        var slope = quiet.Sum(i => (pass.Drive[i] - x) * (Lag(i) - y)) / Math.Max(1e-12, quiet.Sum(i => (pass.Drive[i] - x) * (pass.Drive[i] - x)));
        var onset = below.Where(i => pass.Drive[i] >= NoCurrentBelow && Lag(i) - y - slope * (pass.Drive[i] - x) > Drop * grid.Scatter)
            .Select(i => pass.Drive[i]).DefaultIfEmpty(0).Min();
        return [.. below.Where(i => pass.Drive[i] < onset)];
    }
}
