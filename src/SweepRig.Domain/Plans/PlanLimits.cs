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
}
