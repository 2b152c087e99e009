using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Model;

namespace SweepRig.Rigs.Simulated.Physics;

/// <summary>Node voltages against the cathode pin, V, of a tube with paths between its pins and a resistance in its cathode.</summary>
/// <param name="Cathode">Of the emitting surface.</param>
/// <param name="CathodeCurrent">Out of it, A.</param>
internal readonly record struct FaultyPoint(bool IsSolved, double Grid, double Screen, double Plate, double Cathode, double CathodeCurrent);

/// <summary>
/// The fixture with a faulty tube: Kirchhoff's equations at grid, screen, plate and the emitting surface of the cathode, each times its resistance. Newton with
/// the analytic Jacobian; the step is halved until the sum of squares has fallen, as in <see cref="SweepRig.Tubes.Fixture.FixtureSolver"/>.
/// </summary>
internal sealed class FaultyFixture(RigWiring wiring)
{
    private const int MostSteps = 200;
    private const int MostHalvings = 40;
    private const double Balance = 1e-9;

    private readonly bool _triode = wiring.Kind == ConnectionKind.Triode;
    private readonly double _grid = wiring.GridStopperOhms, _screen = wiring.ScreenResistorOhms, _plate = wiring.PlateResistorOhms;

    /// <param name="tube">At its momentary temperature.</param>
    /// <param name="shunts">Paths between the pins.</param>
    /// <param name="cathodeOhms">In series with the cathode; 0 for none.</param>
    /// <param name="heldCathode">Voltage at which the emitting surface is held, as a capacitor across that resistance does for a moment; null when it is free.</param>
    /// <param name="drive">V.</param>
    /// <param name="rail">V.</param>
    /// <param name="start">An earlier point; passed over when not solved.</param>
    public FaultyPoint Solve(TubeModel tube, in ShuntNetwork shunts, double cathodeOhms, double? heldCathode, double drive, double rail, in FaultyPoint start)
    {
        if (start.IsSolved)
        {
            var near = Newton(tube, shunts, cathodeOhms, heldCathode, drive, rail, [start.Grid, start.Screen, start.Plate, start.Cathode]);
            if (near.IsSolved) return near;
        }
        return Newton(tube, shunts, cathodeOhms, heldCathode, drive, rail, [Math.Min(drive, 1), rail, (_triode ? 0.3 : 0.5) * rail, 0]);
    }

    private FaultyPoint Newton(TubeModel tube, in ShuntNetwork shunts, double cathodeOhms, double? held, double drive, double rail, Span<double> x)
    {
        Span<double> f = stackalloc double[4], trial = stackalloc double[4], step = stackalloc double[4], trialF = stackalloc double[4];
        Span<double> j = stackalloc double[16], trialJ = stackalloc double[16];
        if (held is { } volts) x[3] = volts;
        if (_triode) x[1] = x[2];
        var current = Equations(tube, shunts, cathodeOhms, held, drive, rail, x, f, j);
        for (var n = 0; n < MostSteps; n++)
        {
            if (Largest(f) < Balance) return new(true, x[0], _triode ? x[2] : x[1], x[2], x[3], current);
            if (!Solve(j, f, step)) break;
            var moved = false;
            var part = 1.0;
            for (var halving = 0; halving < MostHalvings && !moved; halving++, part *= 0.5)
            {
                for (var i = 0; i < 4; i++) trial[i] = x[i] - part * step[i];
                var reached = Equations(tube, shunts, cathodeOhms, held, drive, rail, trial, trialF, trialJ);
                // Armijo's rule with the customary small constant.
                moved = Square(trialF) <= (1 - 1e-4 * part) * Square(f);
                if (!moved) continue;
                trial.CopyTo(x);
                trialF.CopyTo(f);
                trialJ.CopyTo(j);
                current = reached;
            }
            if (!moved) break;
        }
        return default;
    }

    private double Equations(
        TubeModel tube, in ShuntNetwork g, double cathodeOhms, double? held, double drive, double rail, Span<double> x, Span<double> f, Span<double> j)
    {
        var (vg, vs, vp, vk) = (x[0], _triode ? x[2] : x[1], x[2], x[3]);
        var i = tube.Evaluate(vg - vk, vs - vk, vp - vk, out var d);
        j.Clear();
        f[0] = vg - drive + _grid * (i.Grid + g.GridCathode * vg + g.GridScreen * (vg - vs) + g.GridPlate * (vg - vp));
        var screen = i.Screen + g.ScreenCathode * vs + g.GridScreen * (vs - vg) + g.ScreenPlate * (vs - vp);
        var plate = i.Plate + g.PlateCathode * vp + g.GridPlate * (vp - vg) + g.ScreenPlate * (vp - vs);
        f[1] = _triode ? x[1] - x[2] : vs - rail + _screen * screen;
        f[2] = vp - rail + _plate * (_triode ? plate + screen : plate);
        var cathode = i.Grid + i.Screen + i.Plate;
        f[3] = held is { } volts ? vk - volts : vk - cathodeOhms * cathode;

        // Rows of the currents by grid, screen, plate; the emitting surface moves all three against it.
        Span<double> ig = [d.GridByGrid, d.GridByScreen, d.GridByPlate];
        Span<double> ig2 = [d.ScreenByGrid, d.ScreenByScreen, d.ScreenByPlate];
        Span<double> ip = [d.PlateByGrid, d.PlateByScreen, d.PlateByPlate];
        Span<double> ik = [ig[0] + ig2[0] + ip[0], ig[1] + ig2[1] + ip[1], ig[2] + ig2[2] + ip[2]];
        Span<double> shuntG = [g.GridCathode + g.GridScreen + g.GridPlate, -g.GridScreen, -g.GridPlate];
        Span<double> shuntS = [-g.GridScreen, g.ScreenCathode + g.GridScreen + g.ScreenPlate, -g.ScreenPlate];
        Span<double> shuntP = [-g.GridPlate, -g.ScreenPlate, g.PlateCathode + g.GridPlate + g.ScreenPlate];
        for (var c = 0; c < 3; c++)
        {
            // In triode connection the screen is the plate: its column counts there.
            var to = _triode && c == 1 ? 2 : c;
            j[to] += _grid * (ig[c] + shuntG[c]);
            if (!_triode) j[4 + to] += _screen * (ig2[c] + shuntS[c]);
            j[8 + to] += _plate * (ip[c] + shuntP[c] + (_triode ? ig2[c] + shuntS[c] : 0));
            if (held is null) j[12 + to] -= cathodeOhms * ik[c];
        }
        j[0] += 1;
        j[5] += 1;
        j[10] += 1;
        j[15] += 1;
        if (_triode) j[6] -= 1;
        j[3] -= _grid * (ig[0] + ig[1] + ig[2]);
        if (!_triode) j[7] -= _screen * (ig2[0] + ig2[1] + ig2[2]);
        j[11] -= _plate * (ip[0] + ip[1] + ip[2] + (_triode ? ig2[0] + ig2[1] + ig2[2] : 0));
        if (held is null) j[15] += cathodeOhms * (ik[0] + ik[1] + ik[2]);
        return cathode;
    }

    // Gauss with row pivots; false when singular to working precision.
    private static bool Solve(ReadOnlySpan<double> j, ReadOnlySpan<double> f, Span<double> x)
    {
        Span<double> a = stackalloc double[16];
        j.CopyTo(a);
        f.CopyTo(x);
        for (var c = 0; c < 4; c++)
        {
            var best = c;
            for (var r = c + 1; r < 4; r++)
                if (Math.Abs(a[4 * r + c]) > Math.Abs(a[4 * best + c])) best = r;
            if (!(Math.Abs(a[4 * best + c]) > 1e-300)) return false;
            if (best != c)
            {
                for (var k = 0; k < 4; k++) (a[4 * c + k], a[4 * best + k]) = (a[4 * best + k], a[4 * c + k]);
                (x[c], x[best]) = (x[best], x[c]);
            }
            for (var r = c + 1; r < 4; r++)
            {
                var part = a[4 * r + c] / a[4 * c + c];
                for (var k = c; k < 4; k++) a[4 * r + k] -= part * a[4 * c + k];
                x[r] -= part * x[c];
            }
        }
        for (var r = 3; r >= 0; r--)
        {
            for (var k = r + 1; k < 4; k++) x[r] -= a[4 * r + k] * x[k];
            x[r] /= a[5 * r];
        }
        return double.IsFinite(x[0] + x[1] + x[2] + x[3]);
    }

    private static double Square(ReadOnlySpan<double> f) => f[0] * f[0] + f[1] * f[1] + f[2] * f[2] + f[3] * f[3];

    private static double Largest(ReadOnlySpan<double> f) => Math.Max(Math.Max(Math.Abs(f[0]), Math.Abs(f[1])), Math.Max(Math.Abs(f[2]), Math.Abs(f[3])));
}
