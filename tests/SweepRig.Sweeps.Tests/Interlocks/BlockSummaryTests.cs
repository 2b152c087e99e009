using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Calibration;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>What each figure of a block is, for blocks made by hand. Powers are volts times amperes, charges amperes times seconds; all were worked out on paper.</summary>
public sealed class BlockSummaryTests
{
    private const double Close = 1e-12;

    private static readonly Calibrator Calibrator =
        new(Samples.Rig, RigCalibration.Nominal(Samples.Rig), new(ConnectionKind.Pentode, new(28), new(-12), new(6.3), new Ohms(10_000), new Ohms(100), new Ohms(4700)));

    /// <summary>Five samples of a pentode, up from -2 V to 4 V, held there and back to 2 V.</summary>
    private static readonly Made Pentode = new()
    {
        Micros = [1_000_000, 1_500_000, 2_500_000, 2_750_000, 4_750_000],
        Drive = [-2, 0, 4, 4, 2],
        Grid = [-2, -0.1, 3, 3.5, 1.5],
        GridCurrent = [-1e-3, 2e-3, 3e-3, -2e-3, 4e-3],
        Plate = [20, 18, 10, 11, 12],
        PlateCurrent = [-1e-3, 1e-3, 10e-3, 11e-3, 8.5e-3],
        Screen = [19, 17, 9, 10, 11],
        ScreenCurrent = [0.5e-3, 0.6e-3, 2e-3, 2.5e-3, 3e-3],
        Supply = [28, 27.9, 27.5, 28.2, 27.8],
        Flags = [SampleFlags.Clipped, SampleFlags.None, SampleFlags.Clipped, SampleFlags.Clipped | SampleFlags.Settled, SampleFlags.Clipped],
        // -20.48 V and 15 mV a step (the rig's drive channel): -2.12, -0.11, 4.06, 3.97 and 1.81 V.
        ReadBackSteps = [1224, 1358, 1636, 1630, 1486],
    };

    /// <summary>One sample of a triode at 3 V, its screen pin measured though no current of it is.</summary>
    private static readonly Made Triode = new()
    {
        Micros = [2_000_000], Drive = [3], Grid = [2], GridCurrent = [1e-3], Plate = [25], PlateCurrent = [5e-3], Screen = [10], ScreenCurrent = [], Supply = [27],
        Flags = [SampleFlags.Clipped], ReadBackSteps = [1566],
    };

    private static readonly Made Empty = new()
    {
        Micros = [], Drive = [], Grid = [], GridCurrent = [], Plate = [], PlateCurrent = [], Screen = [], ScreenCurrent = [], Supply = [], Flags = [], ReadBackSteps = [],
    };

    [Fact]
    public void Extremes_are_those_of_all_samples()
    {
        var of = Pentode.Summary;
        Assert.Equal((4.0, -2.0), (of.MaxDrive, of.MinDrive));
        Assert.Equal((4e-3, -2e-3), (of.MaxGridCurrent, of.MinGridCurrent));
        Assert.Equal((27.5, 28.2), (of.MinSupply, of.MaxSupply));
        Assert.Equal(4.06, of.MaxReadBack, Close);
        // At the last sample, below the drive that was sent.
        Assert.Equal(0.19, of.ReadBackError, Close);
        Assert.Equal(5, of.Count);
    }

    /// <summary>8.5, 3 and 4 mA at the last; what comes out of the grid at the fourth takes nothing off.</summary>
    [Fact]
    public void Cathode_current_is_plate_screen_and_grid_together() => Assert.Equal(15.5e-3, Pentode.Summary.MaxCathodeCurrent, Close);

    /// <summary>10 + 2 + 3 mA and 11 + 2.5 mA.</summary>
    [Fact]
    public void At_the_top_it_is_the_mean_of_the_samples_there() => Assert.Equal(14.25e-3, Pentode.Summary.CathodeAtTop, Close);

    /// <summary>Of the grid 9 and 6 mW in five samples: a voltage below 0 V and a current out of an electrode heat nothing.</summary>
    [Fact]
    public void Power_is_the_mean_of_what_heats()
    {
        Assert.Equal(3e-3, Pentode.Summary.GridWatts, Close);
        Assert.Equal((18e-3 + 100e-3 + 121e-3 + 102e-3) / 5, Pentode.Summary.PlateWatts, Close);
        Assert.Equal((9.5e-3 + 10.2e-3 + 18e-3 + 25e-3 + 33e-3) / 5, Pentode.Summary.ScreenWatts, Close);
    }

    /// <summary>1, 0.25 and 2 s end above 0 V; the half second that ends at 0 V is not above it. 3 mA for 1 s and 4 mA for 2 s go into the grid.</summary>
    [Fact]
    public void Time_and_charge_above_0_V_belong_to_the_sample_that_ends_them()
    {
        Assert.Equal(3.25, Pentode.Summary.PositiveSeconds, Close);
        Assert.Equal(11e-3, Pentode.Summary.GridCoulombs, Close);
        Assert.False(Pentode.Summary.StartsPositive);
        Assert.Equal(-1e-3, Pentode.Summary.FirstGridCurrent);
        Assert.Equal((1.0, 4.75), (Pentode.Summary.FirstSeconds, Pentode.Summary.LastSeconds));
    }

    [Theory]
    [InlineData(-0.5, false)]
    [InlineData(0.0, false)]
    [InlineData(0.01, true)]
    public void A_block_begins_above_0_V_when_its_first_sample_is(double drive, bool starts) => Assert.Equal(starts, (Triode with { Drive = [drive] }).Summary.StartsPositive);

    [Fact]
    public void A_clock_that_goes_back_within_a_block_takes_nothing_off()
    {
        var of = (Pentode with { Drive = [1, 1, 1, 1, 1], Micros = [1_000_000, 2_000_000, 1_500_000, 1_500_000, 1_750_000] }).Summary;
        Assert.Equal(1.25, of.PositiveSeconds, Close);
        Assert.Equal((2e-3 * 1) + (4e-3 * 0.25), of.GridCoulombs, Close);
    }

    [Fact]
    public void Clipped_samples_are_counted_from_the_end()
    {
        Assert.Equal(3, Pentode.Summary.ClippedAtEnd);
        Assert.Equal(1, Triode.Summary.ClippedAtEnd);
        Assert.Equal(0, (Triode with { Flags = [SampleFlags.Settled] }).Summary.ClippedAtEnd);
    }

    [Fact]
    public void A_channel_with_one_code_tells_it_and_one_with_several_tells_none()
    {
        Assert.Equal((7, 8, 9, -1), Codes(Pentode));
        Assert.Equal((-1, -1, -1, 1566 << 4), Codes(Pentode with { GridCodes = [7, 7, 7, 7, 8], PlateCodes = [9, 8, 8, 8, 8], ScreenCodes = [9, 9, 8, 9, 9], ReadBackSteps = [1566, 1566, 1566, 1566, 1566] }));
        Assert.Equal((7, 8, 9, 1566 << 4), Codes(Triode with { ScreenCurrent = [1e-3] }));
    }

    /// <summary>What carries nothing stands still for good reason.</summary>
    [Fact]
    public void Plate_and_screen_tell_their_code_only_while_more_than_a_volt_stands_over_their_resistors()
    {
        Assert.Equal((7, -1, 9, -1), Codes(Pentode with { Plate = [27, 18, 10, 11, 12] }));
        Assert.Equal((7, 8, -1, -1), Codes(Pentode with { Screen = [19, 17, 9, 10, 27] }));
        Assert.Equal((7, 8, 9, -1), Codes(Pentode with { Plate = [26.99, 18, 10, 11, 12] }));
        Assert.Equal((7, 8, -1, 1566 << 4), Codes(Triode));
    }

    [Fact]
    public void A_triode_has_no_screen()
    {
        var of = Triode.Summary;
        Assert.Equal(6e-3, of.MaxCathodeCurrent, Close);
        Assert.Equal(6e-3, of.CathodeAtTop, Close);
        Assert.Equal(double.NaN, of.ScreenWatts);
        Assert.Equal(125e-3, of.PlateWatts, Close);
        Assert.Equal(3.01, of.MaxReadBack, Close);
        Assert.Equal(0.01, of.ReadBackError, Close);
        Assert.Equal((0.0, 0.0), (of.PositiveSeconds, of.GridCoulombs));
        Assert.True(of.StartsPositive);
        Assert.Equal(1e-3, of.FirstGridCurrent);
        Assert.Equal((2.0, 2.0), (of.FirstSeconds, of.LastSeconds));
    }

    [Fact]
    public void A_grid_that_was_not_measured_counts_for_nothing()
    {
        var of = (Pentode with { Grid = [], GridCurrent = [], GridCodes = [] }).Summary;
        Assert.Equal((double.NaN, double.NaN, double.NaN), (of.MaxGridCurrent, of.MinGridCurrent, of.GridWatts));
        Assert.Equal((0.0, 0.0), (of.FirstGridCurrent, of.GridCoulombs));
        Assert.Equal(3.25, of.PositiveSeconds, Close);
        Assert.Equal(13.5e-3, of.MaxCathodeCurrent, Close);
        Assert.Equal(-1, of.GridCode);
    }

    /// <summary>So that it breaks no limit.</summary>
    [Fact]
    public void A_block_without_samples_has_figures_of_nothing()
    {
        var of = Empty.Summary;
        Assert.All(
            new[]
            {
                of.MaxDrive, of.MinDrive, of.MaxReadBack, of.ReadBackError, of.MaxGridCurrent, of.MinGridCurrent, of.MaxCathodeCurrent, of.CathodeAtTop, of.MinSupply, of.MaxSupply,
                of.GridWatts, of.PlateWatts, of.ScreenWatts, of.FirstSeconds, of.LastSeconds,
            },
            figure => Assert.Equal(double.NaN, figure));
        Assert.Equal((0, 0, 0.0, 0.0, 0.0), (of.Count, of.ClippedAtEnd, of.PositiveSeconds, of.GridCoulombs, of.FirstGridCurrent));
        Assert.False(of.StartsPositive);
        Assert.Equal((-1, -1, -1, -1), Codes(Empty));
        Assert.Equal((-1, -1, -1, -1), Codes(new BlockSummary(0, 0, 0, 0, 0, 0)));
    }

    /// <summary>A reading that is no number hid the highest before it.</summary>
    [Fact]
    public void A_reading_that_is_no_number_hides_no_other()
    {
        var of = (Pentode with { Supply = [28.2, 27.5, double.NaN, 28, 28] }).Summary;
        Assert.Equal((27.5, 28.2), (of.MinSupply, of.MaxSupply));
    }

    private static (int Grid, int Plate, int Screen, int ReadBack) Codes(Made made) => Codes(made.Summary);

    private static (int Grid, int Plate, int Screen, int ReadBack) Codes(BlockSummary of) => (of.GridCode, of.PlateCode, of.ScreenCode, of.ReadBackCode);

    /// <summary>A block and what it is in volts and amperes, each by itself; only the drive's read-back is taken from its codes.</summary>
    private sealed record Made
    {
        public required long[] Micros { get; init; }
        public required double[] Drive { get; init; }
        public required double[] Grid { get; init; }
        public required double[] GridCurrent { get; init; }
        public required double[] Plate { get; init; }
        public required double[] PlateCurrent { get; init; }
        public required double[] Screen { get; init; }
        public required double[] ScreenCurrent { get; init; }
        public required double[] Supply { get; init; }
        public required SampleFlags[] Flags { get; init; }

        /// <summary>Whole conversions; a stored code has four places more.</summary>
        public required int[] ReadBackSteps { get; init; }

        public ushort[]? GridCodes { get; init; }
        public ushort[]? PlateCodes { get; init; }
        public ushort[]? ScreenCodes { get; init; }

        public BlockSummary Summary => BlockSummary.Of(
            new()
            {
                Pass = 0, FrameIndex = 0, PointIndex = new ushort[Micros.Length], SampledAtTicks = Micros, DriveCode = new ushort[Micros.Length], Flags = Flags,
                AveragedCount = new ushort[Micros.Length], Spread = new ushort[Micros.Length],
                Codes = [PlateCodes ?? All(8), GridCodes ?? All(7), ScreenCodes ?? All(9), All(0), Array.ConvertAll(ReadBackSteps, s => (ushort)(s << 4))],
            },
            new(Drive, Grid, Plate, Screen, Supply, GridCurrent, ScreenCurrent, PlateCurrent),
            Calibrator);

        private ushort[] All(ushort code) => [.. Enumerable.Repeat(code, Micros.Length)];
    }
}
