using SweepRig.Domain;

namespace SweepRig.Tubes.Model;

/// <summary>
/// The constants of one tube for <see cref="TubeModel"/>. Immutable; <see cref="Faults"/> names every value that is out of range.
/// The letters in brackets are the symbols of the formulas at the head of <see cref="TubeModel"/>.
/// </summary>
public sealed record TubeParameters
{
    /// <summary>Perveance of the equivalent diode (P). Unit: A/V^1.5. Range: above 0 to 1.</summary>
    public required double Perveance { get; init; }

    /// <summary>Amplification factor of grid 1 against the screen (mu2). Range: 1 to 10 000.</summary>
    public required double ScreenMu { get; init; }

    /// <summary>Amplification factor of grid 1 against the plate (mup). Range: 1 to 1 000 000.</summary>
    public required double PlateMu { get; init; }

    /// <summary>Contact potential and initial velocities together (Vc). Unit: V. Range: -5 to +5.</summary>
    public required double GridOffset { get; init; }

    /// <summary>Spread of 1/mu2 over the grid (sigma); the softness of the cut-off. Range: 0 to 1.</summary>
    public required double CutoffSpread { get; init; }

    /// <summary>Grid current over the rest of the cathode current at equal grid and screen voltage (delta). Range: 0 to 10.</summary>
    public required double GridShare { get; init; }

    /// <summary>Grid current sets in at minus this grid voltage (phi1). Unit: V. Range: -2 to +2.</summary>
    public required double GridOnset { get; init; }

    /// <summary>Space-charge limit between grid 1 and screen (G2). Unit: A/V^1.5. Range: above 0 to 1.</summary>
    public required double GridSpaceLimit { get; init; }

    /// <summary>Sharpness of that limit (n2). Range: 0.5 to 20.</summary>
    public double GridSpaceSharpness { get; init; } = 2;

    /// <summary>Plate current over screen current above the knee at equal voltages (D). Range: above 0 to 1000.</summary>
    public required double PlateShare { get; init; }

    /// <summary>Exponent with which that ratio follows plate over screen voltage (q). Range: 0 to 2.</summary>
    public required double PlateShareSlope { get; init; }

    /// <summary>Space-charge limit in front of the plate (G3). Unit: A/V^1.5. Range: above 0 to 1.</summary>
    public required double PlateSpaceLimit { get; init; }

    /// <summary>Sharpness of that limit (n3). Range: 0.5 to 20.</summary>
    public double PlateSpaceSharpness { get; init; } = 2;

    /// <summary>Injected current that halves the limit in front of the plate (Ib). Unit: A. Range: above 0 to 1000.</summary>
    public required double FoldBackCurrent { get; init; }

    /// <summary>Emission at rated heater voltage (Is0). Unit: A. Range: above 0 to 100.</summary>
    public required double Emission { get; init; }

    /// <summary>Sharpness of the emission limit (nE). Range: 0.5 to 20.</summary>
    public double EmissionSharpness { get; init; } = 2;

    /// <summary>Work function of the cathode (W). Unit: eV. Range: 0 to 6.</summary>
    public double WorkFunctionElectronVolts { get; init; } = 1.05;

    /// <summary>Cathode temperature at rated heater voltage (T0). Unit: K. Range: 500 to 3000.</summary>
    public double RatedTemperatureKelvin { get; init; } = 1050;

    /// <summary>Rated heater voltage (Vh0). Unit: V. Range: 0.5 to 60.</summary>
    public double RatedHeater { get; init; } = 6.3;

    /// <summary>Temperature goes with this power of the heater voltage (mh). Range: 0 to 1.</summary>
    public double HeaterExponent { get; init; } = 0.4;

    /// <summary>Ion current over the current that passes grid 1 (gamma). Range: 0 to 0.1.</summary>
    public double GasRatio { get; init; }

    /// <summary>Leakage grid 1 to cathode (Ggk). Unit: S. Range: 0 to 0.01.</summary>
    public double GridCathodeLeakSiemens { get; init; } = 1e-9;

    /// <summary>Leakage grid 1 to screen (Gg2). Unit: S. Range: 0 to 0.01.</summary>
    public double GridScreenLeakSiemens { get; init; } = 1e-10;

    /// <summary>Leakage grid 1 to plate (Ggp). Unit: S. Range: 0 to 0.01.</summary>
    public double GridPlateLeakSiemens { get; init; } = 1e-10;

    /// <summary>Leakage plate to cathode (Gpk). Unit: S. Range: 0 to 0.01.</summary>
    public double PlateCathodeLeakSiemens { get; init; } = 1e-9;

    /// <summary>Every value that is out of its range or no number; empty when all are good.</summary>
    public IReadOnlyList<Refusal> Faults() => TubeParameterRanges.Check(this);
}
