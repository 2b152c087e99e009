using System.Text;
using Microsoft.Playwright;
using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Rigs.Documents;

namespace SweepRig.EndToEnd.Tests.Page;

/// <summary>Calibrations as they come out of another bench.</summary>
internal static class CalibrationDocuments
{
    /// <summary>One that turns every voltage into <paramref name="gain"/> times it, valid for 180 days.</summary>
    public static string Made(string id, double gain, DateTimeOffset made, string rig = "SIM-0001")
    {
        var correction = new VoltageCorrection(0, gain, 0, 0, 20, new(1e-8, 0, 1e-10, 0, 0, 0), 0.0005, 0.003) { Range = new(-20, 38), Quality = new(9, 0.001) };
        var at = new DateTimeOffset(made.UtcTicks - made.UtcTicks % TimeSpan.TicksPerMillisecond, TimeSpan.Zero);
        return CalibrationDocument.Write(new(id, rig, [.. RigChannels.All.Select(_ => correction)], correction)
        {
            Origin = new(at, at.AddDays(180), new("hand-held meter", "M-7", 0.05, 0, 60, 3, 0.001, 0.2), "workshop", PositivePoints: true),
        });
    }

    public static FilePayload File(string name, string text) => new() { Name = name, MimeType = "application/json", Buffer = Encoding.UTF8.GetBytes(text) };
}
