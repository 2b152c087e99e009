using SweepRig.Domain.Plans;
using SweepRig.Service.Tests.Support;
using SweepRig.Sweeps.Queue;

namespace SweepRig.Service.Tests.Nights;

public sealed class ChargeUsedTests
{
    [Fact]
    public void Charge_is_current_by_time_of_the_points_above_0_V()
    {
        var recorded = new ModelledRun(PlanExamples.FarPositivePentode) { NoiseSteps = 0 }.Recorded();
        var header = recorded.Record.Header;
        // On the clock of the model samples are 2 ms apart. A pass begins with 2 ms of dwell and 16 conversions of five channels at 16 us each.
        const double between = 2e-3, first = 2e-3 + 5 * 16 * 16e-6;
        var expected = recorded.Curves.Sum(c => Enumerable.Range(0, c.Count).Where(i => c.Drive[i] > 0).Sum(i => (i == 0 ? first : between) * Math.Max(0, c.GridCurrent[i])));
        Assert.Equal(expected, ChargeUsed.Of(header, recorded.Curves), 1e-6 * expected);
        // Some 4 mA at 24 V through 4.7 kilohms, half of that on the mean, over 191 points of the two passes.
        Assert.InRange(ChargeUsed.Of(header, recorded.Curves), 1e-3, 3e-3);
        Assert.Equal(0, ChargeUsed.Of(new ModelledRun(PlanExamples.GentlePentode).Header, new ModelledRun(PlanExamples.GentlePentode).Recorded().Curves));
    }
}
