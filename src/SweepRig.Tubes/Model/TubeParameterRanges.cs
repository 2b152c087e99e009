using System.Globalization;
using SweepRig.Domain;

namespace SweepRig.Tubes.Model;

/// <summary>The ranges promised by <see cref="TubeParameters"/>, in one table.</summary>
internal static class TubeParameterRanges
{
    // Smallest value that counts as "above 0": far below any tube, far above the denormal numbers.
    private const double Tiny = 1e-12;

    private static readonly (string Name, string Unit, double Low, double High, Func<TubeParameters, double> Get)[] Table =
    [
        ("perveance", "A/V^1.5", Tiny, 1, p => p.Perveance),
        ("screenMu", "", 1, 1e4, p => p.ScreenMu),
        ("plateMu", "", 1, 1e6, p => p.PlateMu),
        ("gridOffset", "V", -5, 5, p => p.GridOffset),
        ("cutoffSpread", "", 0, 1, p => p.CutoffSpread),
        ("gridShare", "", 0, 10, p => p.GridShare),
        ("gridOnset", "V", -2, 2, p => p.GridOnset),
        ("gridSpaceLimit", "A/V^1.5", Tiny, 1, p => p.GridSpaceLimit),
        ("gridSpaceSharpness", "", 0.5, 20, p => p.GridSpaceSharpness),
        ("plateShare", "", Tiny, 1000, p => p.PlateShare),
        ("plateShareSlope", "", 0, 2, p => p.PlateShareSlope),
        ("plateSpaceLimit", "A/V^1.5", Tiny, 1, p => p.PlateSpaceLimit),
        ("plateSpaceSharpness", "", 0.5, 20, p => p.PlateSpaceSharpness),
        ("foldBackCurrent", "A", Tiny, 1000, p => p.FoldBackCurrent),
        ("emission", "A", Tiny, 100, p => p.Emission),
        ("emissionSharpness", "", 0.5, 20, p => p.EmissionSharpness),
        ("workFunctionElectronVolts", "eV", 0, 6, p => p.WorkFunctionElectronVolts),
        ("ratedTemperatureKelvin", "K", 500, 3000, p => p.RatedTemperatureKelvin),
        ("ratedHeater", "V", 0.5, 60, p => p.RatedHeater),
        ("heaterExponent", "", 0, 1, p => p.HeaterExponent),
        ("gasRatio", "", 0, 0.1, p => p.GasRatio),
        ("gridCathodeLeakSiemens", "S", 0, 0.01, p => p.GridCathodeLeakSiemens),
        ("gridScreenLeakSiemens", "S", 0, 0.01, p => p.GridScreenLeakSiemens),
        ("gridPlateLeakSiemens", "S", 0, 0.01, p => p.GridPlateLeakSiemens),
        ("plateCathodeLeakSiemens", "S", 0, 0.01, p => p.PlateCathodeLeakSiemens),
    ];

    public static IReadOnlyList<Refusal> Check(TubeParameters parameters)
    {
        List<Refusal> faults = [];
        foreach (var (name, unit, low, high, get) in Table)
        {
            var value = get(parameters);
            // Written so that NaN, which compares false with everything, is refused too.
            if (value >= low && value <= high) continue;
            faults.Add(new(
                "tube-parameter-out-of-range",
                "/" + name,
                $"{name} is {Write(value, unit)}",
                $"allowed is {Write(low, unit)} to {Write(high, unit)}",
                "Correct the value, or start from an example tube of the catalogue."));
        }
        return faults;
    }

    private static string Write(double value, string unit) =>
        string.Create(CultureInfo.InvariantCulture, $"{value:0.#####e0}{(unit.Length == 0 ? "" : " ")}{unit}");
}
