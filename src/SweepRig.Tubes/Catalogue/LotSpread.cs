using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Catalogue;

/// <summary>How much the tubes of one lot differ. One standard deviation each; illustrative, no source.</summary>
/// <remarks>Positive constants vary by a factor whose logarithm is normally distributed, the grid offset by an amount. No constant goes further than three
/// standard deviations from the typical tube, so that every tube drawn stays within the ranges of the model.</remarks>
public sealed record LotSpread
{
    private const double Farthest = 3;

    public double Perveance { get; init; } = 0.10;

    public double ScreenMu { get; init; } = 0.05;

    /// <summary>Unit: V.</summary>
    public double GridOffsetVolts { get; init; } = 0.10;

    public double CutoffSpread { get; init; } = 0.15;

    public double GridShare { get; init; } = 0.15;

    /// <summary>Of both space-charge limits and of the division between plate and screen, each drawn by itself.</summary>
    public double SpaceLimits { get; init; } = 0.08;

    public double FoldBackCurrent { get; init; } = 0.20;

    /// <summary>Of the logarithm: a factor of 2 either way.</summary>
    public double Emission { get; init; } = Math.Log(2);

    /// <summary>No difference at all.</summary>
    public static LotSpread None { get; } = new()
    {
        Perveance = 0,
        ScreenMu = 0,
        GridOffsetVolts = 0,
        CutoffSpread = 0,
        GridShare = 0,
        SpaceLimits = 0,
        FoldBackCurrent = 0,
        Emission = 0,
    };

    /// <summary>Draws tubes of a lot. The same seed gives the same tubes, and a longer draw begins with the shorter one.</summary>
    /// <param name="typical">The middle of the lot.</param>
    /// <param name="seed">Any number; names the lot.</param>
    /// <param name="count">0 or more.</param>
    /// <exception cref="ArgumentOutOfRangeException">A negative count.</exception>
    public IReadOnlyList<TubeParameters> Draw(TubeParameters typical, int seed, int count)
    {
        ArgumentNullException.ThrowIfNull(typical);
        ArgumentOutOfRangeException.ThrowIfNegative(count);
        var random = new Random(seed);
        var tubes = new TubeParameters[count];
        for (var n = 0; n < count; n++) tubes[n] = DrawOne(typical, random);
        return tubes;
    }

    private TubeParameters DrawOne(TubeParameters typical, Random random) => typical with
    {
        Perveance = typical.Perveance * Factor(random, Perveance),
        ScreenMu = typical.ScreenMu * Factor(random, ScreenMu),
        GridOffset = typical.GridOffset + GridOffsetVolts * Normal(random),
        CutoffSpread = typical.CutoffSpread * Factor(random, CutoffSpread),
        GridShare = typical.GridShare * Factor(random, GridShare),
        GridSpaceLimit = typical.GridSpaceLimit * Factor(random, SpaceLimits),
        PlateSpaceLimit = typical.PlateSpaceLimit * Factor(random, SpaceLimits),
        PlateShare = typical.PlateShare * Factor(random, SpaceLimits),
        FoldBackCurrent = typical.FoldBackCurrent * Factor(random, FoldBackCurrent),
        Emission = typical.Emission * Factor(random, Emission),
    };

    private static double Factor(Random random, double deviation) => Math.Exp(deviation * Normal(random));

    // Box and Muller 1958, Ann. Math. Statist. 29, 610 (from memory). 1 - NextDouble is never 0.
    private static double Normal(Random random)
    {
        var radius = Math.Sqrt(-2 * Math.Log(1 - random.NextDouble()));
        return Math.Clamp(radius * Math.Cos(2 * Math.PI * random.NextDouble()), -Farthest, Farthest);
    }
}
