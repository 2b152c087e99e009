using System.Globalization;
using SweepRig.EndToEnd.Tests.Emulated.Rigs;

namespace SweepRig.Benchmarks.Firmware;

/// <summary>Flash and static RAM of the machine code, as <c>avr-size</c> counts them.</summary>
public static class FirmwareSize
{
    public static Task<FigureLine> MeasureAsync()
    {
        // Berkeley format: a line of headings, then text, data, bss. Initialised data lies in flash and is copied to RAM.
        var fields = FirmwareBuild.Run("avr-size", FirmwareBuild.AvrElf).Split('\n')[1].Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries);
        var (text, data, bss) = (Number(fields[0]), Number(fields[1]), Number(fields[2]));
        var (flash, ram) = (text + data, data + bss);
        return Task.FromResult(new FigureLine(
            "firmware-size",
            $"{FigureLine.Text(flash / 1024.0)} KB flash, {FigureLine.Text(ram / 1024.0)} KB static RAM",
            $"<= {FirmwareTargets.FlashBytes / 1024} KB and <= {FigureLine.Text(FirmwareTargets.StaticRamBytes / 1024.0)} KB",
            $"{flash} and {ram} bytes of the ATmega328P's 32768 and 2048",
            flash <= FirmwareTargets.FlashBytes && ram <= FirmwareTargets.StaticRamBytes));
    }

    private static int Number(string field) => int.Parse(field, CultureInfo.InvariantCulture);
}
