namespace SweepRig.Tubes.Laws;

/// <summary>
/// Koren's pentode: E1 = (Vg2/kP) ln(1 + exp(kP (1/mu + Vg/Vg2))), Ip = 2 (E1^X/kG1) atan(Vp/kVB), Ig2 = (Vg + Vg2/mu)^X/kG2.
/// Negative brackets, screen and plate voltages count as 0. No grid current, no fold-back. Source: N. Koren, Glass Audio 8/5 (1996), p. 18.
/// </summary>
/// <param name="Mu">Amplification factor of grid 1 against the screen, above 0.</param>
/// <param name="Exponent">X, 1 to 2.</param>
/// <param name="PlateConstant">kG1, above 0. Unit: V^X/A.</param>
/// <param name="ScreenConstant">kG2, above 0. Unit: V^X/A.</param>
/// <param name="CutoffConstant">kP, above 0: how sharply the current ends.</param>
/// <param name="KneeConstant">kVB, above 0. Unit: V.</param>
public sealed record KorenPentode(double Mu, double Exponent, double PlateConstant, double ScreenConstant, double CutoffConstant, double KneeConstant)
{
    /// <summary>Plate current. Unit: A.</summary>
    public double PlateCurrent(double vp, double vg, double vg2)
    {
        if (vg2 <= 0) return 0;
        var e1 = vg2 / CutoffConstant * LogOnePlusExp(CutoffConstant * (1 / Mu + vg / vg2));
        return 2 * Math.Pow(e1, Exponent) / PlateConstant * Math.Atan(Math.Max(vp, 0) / KneeConstant);
    }

    /// <summary>Screen current, which in this law does not know of the plate. Unit: A.</summary>
    public double ScreenCurrent(double vg, double vg2) => Math.Pow(Math.Max(vg + Math.Max(vg2, 0) / Mu, 0), Exponent) / ScreenConstant;

    // exp overflows for large arguments and 1 + exp loses small ones.
    internal static double LogOnePlusExp(double x) => Math.Max(x, 0) + double.LogP1(Math.Exp(-Math.Abs(x)));
}
