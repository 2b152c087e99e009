using SweepRig.Domain;
using SweepRig.Domain.Tubes;
using SweepRig.EndToEnd.Tests.Emulated.Rigs;

namespace SweepRig.Benchmarks.Firmware;

/// <summary>The largest difference between the curves that the three rigs measure of one tube, noise-free, through the service; in converter steps.</summary>
public static class ThreeRigsAlike
{
    public static async Task<FigureLine> MeasureAsync()
    {
        var simulated = await MeasuredCurves.MeasureAsync(RigKind.Simulated);
        var host = await MeasuredCurves.MeasureAsync(RigKind.Host);
        var avr = await MeasuredCurves.MeasureAsync(RigKind.Avr);
        var largest = 0.0;
        List<string> parts = [];
        foreach (var connection in Enum.GetValues<ConnectionKind>())
        {
            List<string> channels = [];
            foreach (var channel in MeasuredCurves.Channels)
            {
                var (h, a) = (Difference(host, connection, channel), Difference(avr, connection, channel));
                largest = Math.Max(largest, Math.Max(h, a));
                channels.Add($"{Name(channel)} {FigureLine.Text(h)}/{FigureLine.Text(a)}");
            }
            parts.Add($"{Name(connection)} {string.Join(", ", channels)}");
        }
        return new(
            "three-rigs",
            $"{FigureLine.Text(largest)} steps",
            "<= 1",
            $"process/machine code against the rig in C#: {string.Join("; ", parts)}",
            largest <= 1 + 1e-9);

        double Difference(MeasuredCurves rig, ConnectionKind connection, RigChannel channel) =>
            MeasuredCurves.LargestDifference(rig[connection], simulated[connection], channel);
    }

    private static string Name<T>(T value)
        where T : struct, Enum => value.ToString().ToLowerInvariant();
}
