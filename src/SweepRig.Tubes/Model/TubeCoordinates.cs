namespace SweepRig.Tubes.Model;

/// <summary>
/// The constants of a tube as coordinates in which equal steps mean alike much: the logarithm of a constant that is above 0, the constant itself where it may be
/// 0 or negative (grid offset, grid onset, exponent q, gas ratio, leakage). Derivatives of the model are by these.
/// </summary>
public static class TubeCoordinates
{
    /// <summary>All constants, in the order of the columns.</summary>
    public static IReadOnlyList<TubeParameter> All { get; } = Enum.GetValues<TubeParameter>();

    /// <summary>True where the coordinate is the natural logarithm of the constant.</summary>
    public static bool IsLogarithm(TubeParameter parameter) =>
        parameter is not (TubeParameter.GridOffset or TubeParameter.GridOnset or TubeParameter.PlateShareSlope or TubeParameter.GasRatio or TubeParameter.GridCathodeLeakSiemens);

    /// <summary>Unit of the constant; <c>1</c> for a ratio.</summary>
    public static string Unit(TubeParameter parameter) => parameter switch
    {
        TubeParameter.Perveance or TubeParameter.GridSpaceLimit or TubeParameter.PlateSpaceLimit => "A/V^1.5",
        TubeParameter.GridOffset or TubeParameter.GridOnset => "V",
        TubeParameter.FoldBackCurrent or TubeParameter.Emission => "A",
        TubeParameter.GridCathodeLeakSiemens => "S",
        _ => "1",
    };

    /// <summary>The constant, in its unit.</summary>
    public static double Value(TubeParameters tube, TubeParameter parameter)
    {
        ArgumentNullException.ThrowIfNull(tube);
        return parameter switch
        {
            TubeParameter.Perveance => tube.Perveance,
            TubeParameter.ScreenMu => tube.ScreenMu,
            TubeParameter.PlateMu => tube.PlateMu,
            TubeParameter.GridOffset => tube.GridOffset,
            TubeParameter.CutoffSpread => tube.CutoffSpread,
            TubeParameter.GridShare => tube.GridShare,
            TubeParameter.GridOnset => tube.GridOnset,
            TubeParameter.GridSpaceLimit => tube.GridSpaceLimit,
            TubeParameter.PlateShare => tube.PlateShare,
            TubeParameter.PlateShareSlope => tube.PlateShareSlope,
            TubeParameter.PlateSpaceLimit => tube.PlateSpaceLimit,
            TubeParameter.FoldBackCurrent => tube.FoldBackCurrent,
            TubeParameter.Emission => tube.Emission,
            TubeParameter.GasRatio => tube.GasRatio,
            TubeParameter.GridCathodeLeakSiemens => tube.GridCathodeLeakSiemens,
            _ => throw new ArgumentOutOfRangeException(nameof(parameter), parameter, "SweepRig bug: no such constant."),
        };
    }

    /// <summary>The coordinate; minus infinity for a constant of 0 whose coordinate is its logarithm.</summary>
    public static double Coordinate(TubeParameters tube, TubeParameter parameter) => ToCoordinate(parameter, Value(tube, parameter));

    public static double ToCoordinate(TubeParameter parameter, double value) => IsLogarithm(parameter) ? Math.Log(value) : value;

    public static double FromCoordinate(TubeParameter parameter, double coordinate) => IsLogarithm(parameter) ? Math.Exp(coordinate) : coordinate;

    /// <summary>The same tube with other coordinates, one a constant in the order of <see cref="All"/>.</summary>
    public static TubeParameters With(TubeParameters tube, ReadOnlySpan<double> c)
    {
        ArgumentNullException.ThrowIfNull(tube);
        if (c.Length != All.Count) throw new ArgumentException($"Given are {c.Length} coordinates for {All.Count} constants; give one for each.", nameof(c));
        return tube with
        {
            Perveance = Math.Exp(c[(int)TubeParameter.Perveance]),
            ScreenMu = Math.Exp(c[(int)TubeParameter.ScreenMu]),
            PlateMu = Math.Exp(c[(int)TubeParameter.PlateMu]),
            GridOffset = c[(int)TubeParameter.GridOffset],
            CutoffSpread = Math.Exp(c[(int)TubeParameter.CutoffSpread]),
            GridShare = Math.Exp(c[(int)TubeParameter.GridShare]),
            GridOnset = c[(int)TubeParameter.GridOnset],
            GridSpaceLimit = Math.Exp(c[(int)TubeParameter.GridSpaceLimit]),
            PlateShare = Math.Exp(c[(int)TubeParameter.PlateShare]),
            PlateShareSlope = c[(int)TubeParameter.PlateShareSlope],
            PlateSpaceLimit = Math.Exp(c[(int)TubeParameter.PlateSpaceLimit]),
            FoldBackCurrent = Math.Exp(c[(int)TubeParameter.FoldBackCurrent]),
            Emission = Math.Exp(c[(int)TubeParameter.Emission]),
            GasRatio = c[(int)TubeParameter.GasRatio],
            GridCathodeLeakSiemens = c[(int)TubeParameter.GridCathodeLeakSiemens],
        };
    }

    /// <summary>Lowest and highest coordinate that <see cref="TubeParameters"/> allows; logarithms end where nothing is left of the constant.</summary>
    public static (double Lowest, double Highest) Range(TubeParameter parameter) => parameter switch
    {
        TubeParameter.ScreenMu => (0, Math.Log(1e4)),
        TubeParameter.PlateMu => (0, Math.Log(1e6)),
        TubeParameter.GridOffset => (-5, 5),
        TubeParameter.CutoffSpread => (Math.Log(1e-6), 0),
        TubeParameter.GridShare => (Math.Log(1e-4), Math.Log(10)),
        TubeParameter.GridOnset => (-2, 2),
        TubeParameter.PlateShare => (Math.Log(1e-3), Math.Log(1000)),
        TubeParameter.PlateShareSlope => (0, 2),
        TubeParameter.FoldBackCurrent => (Math.Log(1e-6), Math.Log(1000)),
        TubeParameter.Emission => (Math.Log(1e-9), Math.Log(100)),
        TubeParameter.GasRatio => (0, 0.1),
        TubeParameter.GridCathodeLeakSiemens => (0, 0.01),
        _ => (Math.Log(1e-9), 0),
    };
}
