using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Laws;

/// <summary>The two laws on which the model stands, for electrodes of known size.</summary>
/// <remarks>Constants from CODATA 2018: e, h, k and c exact; electron mass 9.1093837015e-31 kg; electric constant 8.8541878128e-12 F/m.</remarks>
public static class ThermionicLaws
{
    private const double Charge = 1.602176634e-19;
    private const double ElectronMass = 9.1093837015e-31;
    private const double ElectricConstant = 8.8541878128e-12;
    private const double Boltzmann = 1.380649e-23;
    private const double Planck = 6.62607015e-34;

    /// <summary>Constant of the three-halves law between planes, (4/9) eps0 sqrt(2 e/m). Unit: A/V^1.5. Source: Child 1911, Phys. Rev. 32, 492; Langmuir 1913, Phys. Rev. 2, 450.</summary>
    public static double ChildLangmuirConstant { get; } = 4.0 / 9 * ElectricConstant * Math.Sqrt(2 * Charge / ElectronMass);

    /// <summary>Constant of emission, 4 pi m e k^2/h^3. Unit: A/(m^2 K^2). Source: Dushman 1923, Phys. Rev. 21, 623. Real oxide cathodes stay far below it.</summary>
    public static double RichardsonConstant { get; } = 4 * Math.PI * ElectronMass * Charge * Boltzmann * Boltzmann / (Planck * Planck * Planck);

    /// <summary>Perveance of a plane diode. Unit: A/V^1.5. Holds above some 3 V; below, initial velocities and contact potential count.</summary>
    /// <param name="areaSquareMetres">Above 0.</param>
    /// <param name="gapMetres">Cathode to plate, above 0.</param>
    public static double Perveance(double areaSquareMetres, double gapMetres) => ChildLangmuirConstant * areaSquareMetres / (gapMetres * gapMetres);

    /// <summary>Emission of a surface. Unit: A/m^2. Source: Richardson 1929 (Nobel lecture).</summary>
    /// <param name="constant">Emission constant of the surface, A/(m^2 K^2).</param>
    /// <param name="workFunctionElectronVolts">0 or above.</param>
    /// <param name="kelvin">Above 0.</param>
    public static double EmissionDensity(double constant, double workFunctionElectronVolts, double kelvin) =>
        constant * kelvin * kelvin * Math.Exp(-workFunctionElectronVolts / (TubeModel.BoltzmannOverCharge * kelvin));

    /// <summary>k T/e. Unit: V.</summary>
    public static double ThermalVolts(double kelvin) => TubeModel.BoltzmannOverCharge * kelvin;

    /// <summary>
    /// Cathode temperature from two grid currents below the onset, by the retarding-field law I = I0 exp(Vg/(kT/e)). Unit: K.
    /// A value outside some 800 to 1300 K says that leakage or the meter, not the cathode, has been measured.
    /// </summary>
    /// <param name="v1">Unit: V.</param>
    /// <param name="i1">Unit: A, above 0.</param>
    /// <param name="v2">Another voltage.</param>
    /// <param name="i2">Another current, above 0.</param>
    public static double RetardingFieldKelvin(double v1, double i1, double v2, double i2) =>
        (v2 - v1) / (TubeModel.BoltzmannOverCharge * Math.Log(i2 / i1));
}
