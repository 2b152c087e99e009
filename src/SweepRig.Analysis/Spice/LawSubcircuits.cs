using SweepRig.Tubes.Laws;
using static SweepRig.Analysis.Spice.SpiceFormula;
using static SweepRig.Analysis.Spice.SpiceText;

namespace SweepRig.Analysis.Spice;

/// <summary>The plain laws as subcircuits, for comparison: no grid current, no fold-back.</summary>
public static class LawSubcircuits
{
    private static readonly string[] TriodePins = ["plate", "grid", "cathode"];
    private static readonly string[] PentodePins = ["plate", "screen", "grid", "cathode"];

    /// <summary>I = G max(Vg + Vp/mu, 0)^x.</summary>
    /// <exception cref="ArgumentException">The name is not one that SPICE takes.</exception>
    public static SpiceLibrary Write(TriodeLaw law, string name, SpiceProvenance provenance)
    {
        ArgumentNullException.ThrowIfNull(law);
        return Triode(name, provenance, $"Ideal triode: I = G (Vg + Vp/mu)^x with G {N(law.Perveance)}, mu {N(law.Mu)}, x {N(law.Exponent)}. No grid current.",
            $"Bplate p k I={F(law.Perveance)}*(uramp(v(g,k)+v(p,k)/{F(law.Mu)}))^{F(law.Exponent)}");
    }

    /// <summary>Koren's triode.</summary>
    /// <exception cref="ArgumentException">The name is not one that SPICE takes.</exception>
    public static SpiceLibrary Write(KorenTriode law, string name, SpiceProvenance provenance)
    {
        ArgumentNullException.ThrowIfNull(law);
        var z = $"({F(law.CutoffConstant)}*({F(1 / law.Mu)}+v(g,k)/sqrt({F(law.KneeConstant)}+v(p,k)*v(p,k)+1e-12)))";
        return Triode(name, provenance,
            $"Koren's triode (Glass Audio 8/5, 1996): mu {N(law.Mu)}, X {N(law.Exponent)}, kG1 {N(law.PlateConstant)}, kP {N(law.CutoffConstant)}, kVB {N(law.KneeConstant)}. No grid current.",
            $"Bplate p k I={F(2 / law.PlateConstant)}*(uramp(v(p,k)*{F(1 / law.CutoffConstant)}*({LogOnePlusExp(z)})))^{F(law.Exponent)}");
    }

    /// <summary>Koren's pentode.</summary>
    /// <exception cref="ArgumentException">The name is not one that SPICE takes.</exception>
    public static SpiceLibrary Write(KorenPentode law, string name, SpiceProvenance provenance)
    {
        ArgumentNullException.ThrowIfNull(law);
        ArgumentNullException.ThrowIfNull(provenance);
        var subcircuit = new SpiceSubcircuit(SpiceName.Require(name), PentodePins);
        var text = new SpiceText();
        provenance.Write(text);
        text.Comment(
            $"Koren's pentode (Glass Audio 8/5, 1996): mu {N(law.Mu)}, X {N(law.Exponent)}, kG1 {N(law.PlateConstant)}, kG2 {N(law.ScreenConstant)}, kP {N(law.CutoffConstant)}, kVB {N(law.KneeConstant)}. No grid current, no fold-back.");
        text.Statement($".subckt {name} p s g k");
        // The screen counts from 1 uV on: the law divides by it.
        const string screen = "(1e-6+uramp(v(s,k)-1e-6))";
        var z = $"({F(law.CutoffConstant)}*({F(1 / law.Mu)}+v(g,k)/{screen}))";
        text.Statement(
            $"Bplate p k I={F(2 / law.PlateConstant)}*({screen}*{F(1 / law.CutoffConstant)}*({LogOnePlusExp(z)}))^{F(law.Exponent)}*atan(uramp(v(p,k))/{F(law.KneeConstant)})");
        text.Statement($"Bscreen s k I={F(1 / law.ScreenConstant)}*(uramp(v(g,k)+uramp(v(s,k))/{F(law.Mu)}))^{F(law.Exponent)}");
        foreach (var pin in (string[])["g", "s", "p"]) text.Statement($"Rpath{pin} {pin} k 1e12");
        text.Statement($".ends {name}");
        return new(text.ToString(), [subcircuit]);
    }

    private static SpiceLibrary Triode(string name, SpiceProvenance provenance, string law, string source)
    {
        ArgumentNullException.ThrowIfNull(provenance);
        var subcircuit = new SpiceSubcircuit(SpiceName.Require(name), TriodePins);
        var text = new SpiceText();
        provenance.Write(text);
        text.Comment(law);
        text.Statement($".subckt {name} p g k");
        text.Statement(source);
        text.Statement("Rpathg g k 1e12");
        text.Statement("Rpathp p k 1e12");
        text.Statement($".ends {name}");
        return new(text.ToString(), [subcircuit]);
    }
}
