using System.Globalization;
using SweepRig.Domain;

namespace SweepRig.Tubes.Model;

/// <summary>A constant of <see cref="TubeParameters"/> and the range promised for it.</summary>
/// <param name="Key">The property with a small first letter: its key in documents.</param>
/// <param name="Unit">Empty for a ratio.</param>
/// <param name="Low">Least value.</param>
/// <param name="High">Largest value.</param>
/// <param name="Needed">False where the record has a usual value.</param>
public sealed record TubeParameterRange(string Key, string Unit, double Low, double High, bool Needed, Func<TubeParameters, double> Get, Func<TubeParameters, double, TubeParameters> With);

/// <summary>The ranges promised by <see cref="TubeParameters"/>, in one table.</summary>
public static class TubeParameterRanges
{
    // Smallest value that counts as "above 0": far below any tube, far above the denormal numbers.
    private const double Tiny = 1e-12;

    public static IReadOnlyList<TubeParameterRange> All { get; } =
    [
        new("perveance", "A/V^1.5", Tiny, 1, true, p => p.Perveance, (p, v) => p with { Perveance = v }),
        new("screenMu", "", 1, 1e4, true, p => p.ScreenMu, (p, v) => p with { ScreenMu = v }),
        new("plateMu", "", 1, 1e6, true, p => p.PlateMu, (p, v) => p with { PlateMu = v }),
        new("gridOffset", "V", -5, 5, true, p => p.GridOffset, (p, v) => p with { GridOffset = v }),
        new("cutoffSpread", "", 0, 1, true, p => p.CutoffSpread, (p, v) => p with { CutoffSpread = v }),
        new("gridShare", "", 0, 10, true, p => p.GridShare, (p, v) => p with { GridShare = v }),
        new("gridOnset", "V", -2, 2, true, p => p.GridOnset, (p, v) => p with { GridOnset = v }),
        new("gridSpaceLimit", "A/V^1.5", Tiny, 1, true, p => p.GridSpaceLimit, (p, v) => p with { GridSpaceLimit = v }),
        new("gridSpaceSharpness", "", 0.5, 20, false, p => p.GridSpaceSharpness, (p, v) => p with { GridSpaceSharpness = v }),
        new("plateShare", "", Tiny, 1000, true, p => p.PlateShare, (p, v) => p with { PlateShare = v }),
        new("plateShareSlope", "", 0, 2, true, p => p.PlateShareSlope, (p, v) => p with { PlateShareSlope = v }),
        new("plateSpaceLimit", "A/V^1.5", Tiny, 1, true, p => p.PlateSpaceLimit, (p, v) => p with { PlateSpaceLimit = v }),
        new("plateSpaceSharpness", "", 0.5, 20, false, p => p.PlateSpaceSharpness, (p, v) => p with { PlateSpaceSharpness = v }),
        new("foldBackCurrent", "A", Tiny, 1000, true, p => p.FoldBackCurrent, (p, v) => p with { FoldBackCurrent = v }),
        new("emission", "A", Tiny, 100, true, p => p.Emission, (p, v) => p with { Emission = v }),
        new("emissionSharpness", "", 0.5, 20, false, p => p.EmissionSharpness, (p, v) => p with { EmissionSharpness = v }),
        new("workFunctionElectronVolts", "eV", 0, 6, false, p => p.WorkFunctionElectronVolts, (p, v) => p with { WorkFunctionElectronVolts = v }),
        new("ratedTemperatureKelvin", "K", 500, 3000, false, p => p.RatedTemperatureKelvin, (p, v) => p with { RatedTemperatureKelvin = v }),
        new("ratedHeater", "V", 0.5, 60, false, p => p.RatedHeater, (p, v) => p with { RatedHeater = v }),
        new("heaterExponent", "", 0, 1, false, p => p.HeaterExponent, (p, v) => p with { HeaterExponent = v }),
        new("gasRatio", "", 0, 0.1, false, p => p.GasRatio, (p, v) => p with { GasRatio = v }),
        new("gridCathodeLeakSiemens", "S", 0, 0.01, false, p => p.GridCathodeLeakSiemens, (p, v) => p with { GridCathodeLeakSiemens = v }),
        new("gridScreenLeakSiemens", "S", 0, 0.01, false, p => p.GridScreenLeakSiemens, (p, v) => p with { GridScreenLeakSiemens = v }),
        new("gridPlateLeakSiemens", "S", 0, 0.01, false, p => p.GridPlateLeakSiemens, (p, v) => p with { GridPlateLeakSiemens = v }),
        new("plateCathodeLeakSiemens", "S", 0, 0.01, false, p => p.PlateCathodeLeakSiemens, (p, v) => p with { PlateCathodeLeakSiemens = v }),
    ];

    internal static IReadOnlyList<Refusal> Check(TubeParameters parameters)
    {
        List<Refusal> faults = [];
        foreach (var range in All)
        {
            var value = range.Get(parameters);
            // Written so that NaN, which compares false with everything, is refused too.
            if (value >= range.Low && value <= range.High) continue;
            faults.Add(new(
                "tube-parameter-out-of-range",
                "/" + range.Key,
                $"{range.Key} is {Write(value, range.Unit)}",
                $"allowed is {Write(range.Low, range.Unit)} to {Write(range.High, range.Unit)}",
                "Correct the value, or start from an example tube of the catalogue."));
        }
        return faults;
    }

    private static string Write(double value, string unit) =>
        string.Create(CultureInfo.InvariantCulture, $"{value:0.#####e0}{(unit.Length == 0 ? "" : " ")}{unit}");
}
