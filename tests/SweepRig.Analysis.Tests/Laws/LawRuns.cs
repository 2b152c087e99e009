using SweepRig.Analysis.Models;
using SweepRig.Analysis.Tests.Models;
using SweepRig.Analysis.Uncertainty;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using static SweepRig.Analysis.Tests.Models.SimulatedRuns;

namespace SweepRig.Analysis.Tests.Laws;

/// <summary>Runs of a tube that is a plain law itself: no grid current, plate and screen where the law meets their load lines.</summary>
internal static class LawRuns
{
    private const double Noise = 3e-4;

    /// <param name="plate">Amperes from plate, grid and screen voltage.</param>
    /// <param name="screen">Amperes from grid and screen voltage; null in triode connection.</param>
    public static ModelRun Of(ConnectionKind kind, double rail, double plateOhms, double lowest, Func<double, double, double, double> plate, Func<double, double, double>? screen = null)
    {
        var connection = Connection(kind, plateOhms, rail);
        var random = new RandomStream(3);
        var drives = Even(lowest, -0.01, 256);
        var screens = Array.ConvertAll(drives, d => screen is null ? rail : OnLoadLine(rail, connection.ScreenResistor.Value, v => screen(d, v)));
        var plates = drives.Select((d, i) => OnLoadLine(rail, plateOhms, v => plate(v, d, screens[i]))).ToArray();
        double[] Noisy(double[] exact) => Array.ConvertAll(exact, v => v + Noise * random.Normal());
        var run = new SimulatedRuns(1, noise: Noise).Run(ExampleTubes.Sound6AU6, connection, drives, $"{rail} V");
        var curve = run.Curves[0] with
        {
            Grid = Noisy(drives), Plate = Noisy(plates), Screen = kind == ConnectionKind.Triode ? Noisy(plates) : Noisy(screens), Supply = Noisy([.. drives.Select(_ => rail)]),
        };
        return run with { Curves = [curve] };
    }

    public static double OnLoadLine(double rail, double ohms, Func<double, double> current)
    {
        double low = 0, high = rail;
        for (var n = 0; n < 200; n++)
        {
            var middle = 0.5 * (low + high);
            if (rail - middle > ohms * current(middle)) low = middle;
            else high = middle;
        }
        return low;
    }
}
