using SweepRig.Domain.Plans;
using SweepRig.Service.Nights;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Nights;

public sealed class GridChargeTests
{
    [Fact]
    public void Charge_is_current_by_time_of_the_points_above_0_V()
    {
        var recorded = new ModelledRun(PlanExamples.FarPositivePentode) { NoiseSteps = 0 }.Recorded();
        var header = recorded.Record.Header;
        // 2 ms of dwell and 16 conversions of five channels at 16 us each.
        const double point = 2e-3 + 5 * 16 * 16e-6;
        var expected = recorded.Curves.Sum(c => Enumerable.Range(0, c.Count).Where(i => c.Drive[i] > 0).Sum(i => point * Math.Max(0, c.GridCurrent[i])));
        Assert.Equal(expected, GridCharge.Of(header, recorded.Curves), 1e-3 * expected);
        // Some 4 mA at 24 V through 4.7 kilohms, half of that on the mean, over 191 points of the two passes.
        Assert.InRange(GridCharge.Of(header, recorded.Curves), 1e-3, 3e-3);
        Assert.Equal(0, GridCharge.Of(new ModelledRun(PlanExamples.GentlePentode).Header, new ModelledRun(PlanExamples.GentlePentode).Recorded().Curves));
    }
}
