using SweepRig.Analysis.Studies;

namespace SweepRig.Analysis.Tests.Studies;

/// <summary>Charge is current by time: of 1 mA over 10 ms it is 10 µC (SI Brochure, 9th edition, table 4: 1 C = 1 A s).</summary>
public sealed class GridChargeTests
{
    private const double Point = 12e-3;

    [Fact]
    public void Current_counts_for_the_time_that_the_rigs_clock_tells()
    {
        // The first sample has no sample before it.
        Assert.Equal(1e-3 * (Point + 10e-3 + 10e-3), Of([1, 2, 3], [1e-3, 1e-3, 1e-3], [5_000, 15_000, 25_000]), 1e-12);
    }

    [Fact]
    public void A_point_that_was_measured_again_at_the_end_counts_as_one_point()
    {
        Assert.Equal(1e-3 * (3 * Point + 10e-3), Of([1, 2, 3, 4], [1e-3, 1e-3, 1e-3, 1e-3], [5_000, 900_000, 25_000, 35_000]), 1e-12);
    }

    [Fact]
    public void Neither_drive_below_0_V_nor_current_out_of_the_grid_counts()
    {
        Assert.Equal(0, Of([-2, -1, 1, 2], [1e-3, 1e-3, -1e-6, double.NaN], [5_000, 15_000, 25_000, 35_000]));
    }

    private static double Of(double[] drive, double[] amps, long[] ticks) =>
        GridCharge.Of(Curves.Of(drive, _ => 20) with { GridCurrent = amps, SampledAtTicks = ticks }, Point).Value!.Value;
}
