using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Lots;

/// <summary>How much the tubes of one lot differ when new. One standard deviation each; illustrative, no source.</summary>
/// <remarks>Positive constants vary by a factor whose logarithm is normally distributed, the grid offset by an amount; they vary together as
/// <see cref="LotCorrelation"/> says. No constant goes further than three standard deviations from the typical tube (the emission two), so that every tube drawn
/// stays within the ranges of the model and a sound tube stays sound.</remarks>
public sealed record LotSpread
{
    private const double Farthest = 3, FarthestEmission = 2;

    public double Perveance { get; init; } = 0.10;

    public double ScreenMu { get; init; } = 0.05;

    /// <summary>Unit: V.</summary>
    public double GridOffsetVolts { get; init; } = 0.10;

    public double CutoffSpread { get; init; } = 0.15;

    public double GridShare { get; init; } = 0.15;

    /// <summary>Of both space-charge limits and of the division between plate and screen.</summary>
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
        var random = new LotRandom(seed);
        var tubes = new TubeParameters[count];
        for (var n = 0; n < count; n++) tubes[n] = DrawOne(typical, random);
        return tubes;
    }

    /// <summary>One tube, in the order of <see cref="LotCorrelation.Names"/>.</summary>
    internal TubeParameters DrawOne(TubeParameters typical, LotRandom random)
    {
        Span<double> z = stackalloc double[LotCorrelation.Count];
        for (var i = 0; i < z.Length; i++) z[i] = random.Normal();
        LotCorrelation.Mix(z);
        for (var i = 0; i < z.Length; i++) z[i] = Math.Clamp(z[i], -Farthest, Farthest);
        return typical with
        {
            Perveance = typical.Perveance * Math.Exp(Perveance * z[0]),
            ScreenMu = typical.ScreenMu * Math.Exp(ScreenMu * z[1]),
            GridOffset = typical.GridOffset + GridOffsetVolts * z[2],
            CutoffSpread = typical.CutoffSpread * Math.Exp(CutoffSpread * z[3]),
            GridShare = typical.GridShare * Math.Exp(GridShare * z[4]),
            GridSpaceLimit = typical.GridSpaceLimit * Math.Exp(SpaceLimits * z[5]),
            PlateSpaceLimit = typical.PlateSpaceLimit * Math.Exp(SpaceLimits * z[6]),
            PlateShare = typical.PlateShare * Math.Exp(SpaceLimits * z[7]),
            FoldBackCurrent = typical.FoldBackCurrent * Math.Exp(FoldBackCurrent * z[8]),
            Emission = typical.Emission * Math.Exp(Emission * Math.Clamp(z[9], -FarthestEmission, FarthestEmission)),
        };
    }
}
