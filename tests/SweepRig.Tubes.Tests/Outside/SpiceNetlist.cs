using System.Globalization;
using System.Text;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Tests.Outside;

/// <summary>
/// The fixture with the tube model spelt out in behavioural sources, as ngspice reads it. Every intermediate quantity of the model is a node, in natural units
/// (V, A as volts), so that the simulator differentiates and solves the formulas by itself.
/// </summary>
/// <remarks>
/// What is minded: M means milli, so numbers are written in full; pow takes the magnitude of its base, so bases are kept above 0 before; exponentials are
/// bounded; the tolerances of the solution are set far below its customary values; each internal node gets a resistor to ground.
/// </remarks>
internal static class SpiceNetlist
{
    /// <param name="points">Plate voltage is printed at this many drives, evenly spaced.</param>
    /// <param name="resultPath">Where the simulator writes drive, grid, screen and plate voltage.</param>
    public static string Write(TubeModel model, Connection connection, double from, double to, int points, string resultPath)
    {
        var p = model.Parameters;
        var triode = connection.Kind == ConnectionKind.Triode;
        var screen = triode ? "plate" : "screen";
        var text = new StringBuilder();
        Line("* fixture of one tube");
        // ln(1+u) would be 0 for small u, and the division of currents 0/0.
        Line(".func l1(u) {u < 0.00001 ? u-u*u/2+u*u*u/3 : ln(1+u)}");
        Line($"Vdrive drive 0 {N(from)}");
        Line($"Vrail rail 0 {N(connection.PlateRail.Value)}");
        Line($"Rgrid drive grid {N(connection.GridStopper.Value)}");
        Line($"Rplate rail plate {N(connection.PlateResistor.Value)}");
        if (!triode) Line($"Rscreen rail screen {N(connection.ScreenResistor.Value)}");

        var thermal = model.ThermalVolts;
        Softplus("tvs", $"v({screen})", N(1.5 * thermal));
        Softplus("tvq", "v(plate)", N(1.5 * thermal));
        Node("tw", $"sqrt({N(Math.Pow(1.5 * thermal, 2))}+({N(p.CutoffSpread)}*v(tvs))*({N(p.CutoffSpread)}*v(tvs)))");
        Node("tve", $"v(grid)+{N(p.GridOffset)}+v({screen})/{N(p.ScreenMu)}+v(plate)/{N(p.PlateMu)}");
        Softplus("te", "v(tve)", "v(tw)");
        Node("ti0", $"{N(p.Perveance)}*v(te)*sqrt(v(te))");
        Node("tie", Least("v(ti0)", N(model.SaturationCurrent), p.EmissionSharpness));
        Softplus("tvc", $"(v(grid)+{N(p.GridOnset)})", N(0.5 * thermal));
        Softplus("teh", $"(v(tve)+v(tvc)-{N(p.GridOnset)}-v(grid))", "v(tw)");
        Node("tr", $"{N(p.GridShare)}*sqrt(v(tvc)/v(tvs))*(v(teh)/v(te))*sqrt(v(teh)/v(te))");
        Node("tif", "v(tie)/(1+v(tr))");
        Node("tit", Least("v(tif)", $"({N(p.GridSpaceLimit)}*v(tvs)*sqrt(v(tvs)))", p.GridSpaceSharpness));
        Node("td", $"{N(p.PlateShare)}*exp({N(p.PlateShareSlope)}*ln(v(tvq)/v(tvs)))");
        Node("tis", "v(tit)*v(td)/(1+v(td))");
        Node("tip", Least("v(tis)", $"({N(p.PlateSpaceLimit)}*v(tvq)*sqrt(v(tvq))/(1+v(tis)/{N(p.FoldBackCurrent)}))", p.PlateSpaceSharpness));

        Line($"Bg grid 0 I=(v(tie)+v(tif)-v(tit))*v(tr)/(1+v(tr))-{N(p.GasRatio)}*v(tit)+{N(p.GridCathodeLeakSiemens)}*v(grid)"
            + $"+{N(p.GridScreenLeakSiemens)}*(v(grid)-v({screen}))+{N(p.GridPlateLeakSiemens)}*(v(grid)-v(plate))");
        Line($"Bs {screen} 0 I=v(tit)-v(tip)+{N(p.GridScreenLeakSiemens)}*(v({screen})-v(grid))");
        Line($"Bp plate 0 I=v(tip)+{N(p.GasRatio)}*v(tit)+{N(p.GridPlateLeakSiemens)}*(v(plate)-v(grid))+{N(p.PlateCathodeLeakSiemens)}*v(plate)");

        Line(".options abstol=1e-16 vntol=1e-12 reltol=1e-6 gmin=1e-16 itl1=500 itl2=500");
        Line(".control");
        Line("set wr_singlescale");
        Line("set numdgt=15");
        Line($"dc Vdrive {N(from)} {N(to)} {N((to - from) / (points - 1))}");
        Line($"wrdata {resultPath} v(drive) v(grid) v({screen}) v(plate)");
        Line("quit");
        Line(".endc");
        Line(".end");
        return text.ToString();

        void Line(string line) => text.Append(line).Append('\n');

        void Node(string name, string formula)
        {
            Line($"B{name} {name} 0 V={formula}");
            Line($"R{name} {name} 0 1000000000");
        }

        void Softplus(string name, string x, string w) =>
            Node(name, $"max({x},0)+({w})*l1(exp(0-min(abs({x})/({w}),80)))");
    }

    private static string Least(string a, string b, double n) => n == 2
        ? $"{a}/sqrt(1+({a}/{b})*({a}/{b}))"
        : $"{a}*exp(-1/{N(n)}*ln(1+exp({N(n)}*ln({a}/{b}))))";

    private static string N(double value) => value.ToString("R", CultureInfo.InvariantCulture);
}
