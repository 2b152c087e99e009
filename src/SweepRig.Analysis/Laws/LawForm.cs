using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Laws;

namespace SweepRig.Analysis.Laws;

/// <summary>A constant of a law: what it is called where the law is printed, its unit, and between which values it is looked for.</summary>
internal sealed record LawTerm(string Symbol, string Unit, double Lowest, double Highest);

/// <summary>A plain law as a fit takes it: constants in the order of its terms, all above 0, and the currents they give.</summary>
/// <param name="Connection">Which connection of a pentode it describes.</param>
/// <param name="Starts">Weak, usual and strong tubes, from which the fit begins.</param>
/// <param name="Plate">Amperes from constants, plate, grid and screen voltage.</param>
/// <param name="Screen">Amperes from constants, grid and screen voltage; null in triode connection.</param>
internal sealed record LawForm(
    ConnectionKind Connection,
    IReadOnlyList<LawTerm> Terms,
    IReadOnlyList<double[]> Starts,
    Func<double[], double, double, double, double> Plate,
    Func<double[], double, double, double>? Screen = null)
{
    private static readonly LawTerm Exponent = new("X", "1", 1, 2);
    private static readonly LawTerm Mu = new("mu", "1", 1, 1e3);

    public static LawForm Of(PlainLaw law) => law switch
    {
        PlainLaw.ThreeHalves => new(
            ConnectionKind.Triode, [new("G", "A/V^1.5", 1e-6, 1), Mu], [[1e-3, 30], [3e-4, 60], [2e-3, 15]],
            static (c, vp, vg, _) => new TriodeLaw(c[0], c[1]).Current(vp, vg)),
        PlainLaw.FreeExponent => new(
            ConnectionKind.Triode, [new("G", "A/V^x", 1e-6, 1), Mu, Exponent with { Symbol = "x" }], [[1e-3, 30, 1.5], [3e-4, 60, 1.4], [2e-3, 15, 1.5]],
            static (c, vp, vg, _) => new TriodeLaw(c[0], c[1], c[2]).Current(vp, vg)),
        PlainLaw.KorenTriode => new(
            ConnectionKind.Triode, [Mu, Exponent, new("kG1", "V^X/A", 1, 1e6), new("kP", "1", 1, 1e5), new("kVB", "V^2", 1e-3, 1e5)],
            [[30, 1.4, 600, 200, 100], [70, 1.4, 1000, 500, 300], [20, 1.3, 1000, 80, 300]],
            static (c, vp, vg, _) => new KorenTriode(c[0], c[1], c[2], c[3], c[4]).Current(vp, vg)),
        PlainLaw.KorenPentode => new(
            ConnectionKind.Pentode, [Mu, Exponent, new("kG1", "V^X/A", 1, 1e6), new("kG2", "V^X/A", 1, 1e6), new("kP", "1", 1, 1e5), new("kVB", "V", 1e-3, 1e3)],
            [[40, 1.35, 600, 2000, 100, 10], [80, 1.35, 1000, 4000, 200, 5], [10, 1.35, 800, 4000, 50, 20]],
            static (c, vp, vg, vg2) => Pentode(c).PlateCurrent(vp, vg, vg2), static (c, vg, vg2) => Pentode(c).ScreenCurrent(vg, vg2)),
        _ => throw new ArgumentOutOfRangeException(nameof(law), law, "SweepRig bug: this law has no form."),
    };

    private static KorenPentode Pentode(double[] c) => new(c[0], c[1], c[2], c[3], c[4], c[5]);
}
