namespace SweepRig.Domain.Plans;

/// <summary>Bounds of a plan that hold for every rig. Rigs and tubes narrow them further.</summary>
public static class PlanLimits
{
    public const int MinPoints = 2;

    /// <summary>A pass is addressed with 16 bits on the link; this leaves room for points measured again.</summary>
    public const int MaxPoints = 20_000;

    public const int MinDwellMicroseconds = 50;
    public const int MaxDwellMicroseconds = 10_000_000;
    public const int MaxConversions = 256;
    public const int MaxMainsPeriods = 50;
    public const int MaxRepeats = 1_000;
    public const int MinSteps = 2;
    public const int MaxSteps = 32;

    /// <summary>Widest drive of any rig, on either side of the cathode.</summary>
    public const double MaxDriveVolts = 60;

    public const int MaxNameLength = 80;

    /// <summary>Samples of one run over all its passes; about a gigabyte of raw codes.</summary>
    public const long MaxSamples = 20_000_000;

    /// <summary>A supply below this is switched off rather than set.</summary>
    public const double MinSupplyVolts = 0.1;

    public const double MinSettleVolts = 0.0001;
    public const double MaxSettleVolts = 10;

    /// <summary>Resistors travel on the link in whole ohms.</summary>
    public const double MinOhms = 1;
    public const double MaxOhms = 100_000_000;
}
