namespace SweepRig.Tubes.Laws;

/// <summary>Ideal triode: I = G max(Vg + Vp/mu, 0)^exponent. The exponent is 1.5 in theory (Langmuir 1913) and near 1.4 in many real tubes.</summary>
/// <param name="Perveance">G. Unit: A/V^exponent.</param>
/// <param name="Mu">Amplification factor, above 0.</param>
/// <param name="Exponent">1 to 2.</param>
public sealed record TriodeLaw(double Perveance, double Mu, double Exponent = 1.5)
{
    /// <summary>Plate current. Unit: A.</summary>
    public double Current(double vp, double vg) => Perveance * Math.Pow(Math.Max(vg + vp / Mu, 0), Exponent);

    /// <summary>Grid voltage at which the current ends. Unit: V.</summary>
    public double Cutoff(double vp) => -vp / Mu;
}
