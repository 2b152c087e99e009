using SweepRig.Domain.Rigs;

namespace SweepRig.Domain.Tests.Rigs;

internal static class Calibrations
{
    public static ReferenceMeter Meter { get; } = new("hand-held, 60,000 counts", "M-7", 0.05, 0, 60, 3, 0.001, 0.2);

    public static VoltageCorrection Correction { get; } = new(12.03, 1.004, 0.02, 12, 26, new(1e-6, 1e-8, 1e-9, -2e-7, 1e-9, 3e-6), 0.0005, 0.003)
    {
        Range = new(-14, 38),
        Quality = new(9, 0.0012),
    };

    public static RigCalibration Example { get; } = new(
        "cal-20260314-092653", "SIM-0001", [.. RigChannels.All.Select(c => Correction with { AtCentreVolts = 12.03 + 0.01 * (int)c })], Correction with { CubicVolts = 0 })
    {
        Origin = new(
            new(2026, 3, 14, 9, 26, 53, 589, TimeSpan.Zero), new(2026, 9, 10, 9, 26, 53, 589, TimeSpan.Zero), Meter, "Workshop, 21 °C; rail 28 V", PositivePoints: true),
        Resistors = [new(ResistorPlace.Plate, 10_000, 10_013.5, 11.6), new(ResistorPlace.GridStopper, 4_700, 4_688, 5.4)],
        Rails = [new(RailPlace.BiasRail, -14, -14.02, 0.004)],
    };
}
