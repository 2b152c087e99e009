namespace SweepRig.Tubes.Laws;

/// <summary>
/// Koren's triode: E1 = (Vp/kP) ln(1 + exp(kP (1/mu + Vg/sqrt(kVB + Vp^2)))), Ip = 2 E1^X/kG1 for E1 above 0, else 0.
/// Made for circuits at some hundred volts; no grid current. Source: N. Koren, Glass Audio 8/5 (1996), p. 18.
/// </summary>
/// <param name="Mu">Amplification factor, above 0.</param>
/// <param name="Exponent">X, 1 to 2.</param>
/// <param name="PlateConstant">kG1, above 0: the larger, the less current. Unit: V^X/A.</param>
/// <param name="CutoffConstant">kP, above 0: how sharply the current ends.</param>
/// <param name="KneeConstant">kVB, 0 or above. Unit: V^2.</param>
public sealed record KorenTriode(double Mu, double Exponent, double PlateConstant, double CutoffConstant, double KneeConstant)
{
    /// <summary>Plate current. Unit: A.</summary>
    public double Current(double vp, double vg)
    {
        var e1 = vp / CutoffConstant * KorenPentode.LogOnePlusExp(CutoffConstant * (1 / Mu + vg / Math.Sqrt(KneeConstant + vp * vp)));
        return e1 > 0 ? 2 * Math.Pow(e1, Exponent) / PlateConstant : 0;
    }
}
