using SweepRig.Domain.Rigs;

namespace SweepRig.Rigs.Tests.Calibration;

internal static class Meters
{
    /// <summary>Invented: a hand-held meter of 60,000 counts, ±(0.05 % of reading + 3 counts) on its 60 V range.</summary>
    public static ReferenceMeter Usual { get; } = new("hand-held, 60,000 counts", "M-7", 0.05, 0, 60, 3, 0.001, 0.2);
}
