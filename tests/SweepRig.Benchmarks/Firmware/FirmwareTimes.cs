using SweepRig.EndToEnd.Tests.Emulated.Rigs;
using SweepRig.EndToEnd.Tests.Emulated.Timing;

namespace SweepRig.Benchmarks.Firmware;

/// <summary>How fast the machine code measures and how soon it is safe, in cycles of the emulated processor at 16 MHz, seen at its pins.</summary>
public static class FirmwareTimes
{
    public static Task<FigureLine> MeasureAsync()
    {
        var rate16 = FirmwareTiming.SamplesPerSecond(16);
        var rate4 = FirmwareTiming.SamplesPerSecond(4);
        var ceiling = FirmwareTiming.CeilingToSafeMicroseconds();
        var silence = FirmwareTiming.SilenceToSafeMilliseconds(FirmwareTargets.LeaseMilliseconds);
        var (hangDrive, hangAll) = FirmwareTiming.HangToSafeMilliseconds();
        return Task.FromResult(new FigureLine(
            "firmware-timing",
            $"{FigureLine.Text(rate16, "0")} samples/s of 4 channels averaged 16 times, {FigureLine.Text(rate4, "0")} averaged 4 times; "
            + $"ceiling breach to safe {FigureLine.Text(ceiling, "0")} us, silence to safe {FigureLine.Text(silence)} ms beyond the lease, hang to safe {FigureLine.Text(hangAll, "0.0")} ms",
            $">= {FirmwareTargets.SamplesPerSecond16} and >= {FirmwareTargets.SamplesPerSecond4}; <= {FirmwareTargets.CeilingMicroseconds} us, "
            + $"<= {FirmwareTargets.SilenceMilliseconds} ms, <= {FirmwareTargets.HangMilliseconds} ms",
            $"longest of {FirmwareTiming.Phases} phases each; a hang takes the drive off the grid in {FigureLine.Text(hangDrive, "0.0")} ms by the enable line, the rest by the watchdog",
            rate16 >= FirmwareTargets.SamplesPerSecond16 && rate4 >= FirmwareTargets.SamplesPerSecond4 && ceiling <= FirmwareTargets.CeilingMicroseconds
            && silence <= FirmwareTargets.SilenceMilliseconds && hangAll <= FirmwareTargets.HangMilliseconds));
    }
}
