using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Service.Api;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Calibrating;

/// <summary>A calibration written down beforehand: what it is begun with, and readings by step. For scripts, and for a bench whose readings stand in a notebook of a simulated day.</summary>
/// <param name="Readings">Volts or ohms by step id; steps that are not in it are left for later.</param>
public sealed record ReadingsFile(
    string Format, bool TubeOut, MeterView Meter, string Note = "", double PositiveUpToVolts = 0, FixtureView? Fixture = null, int Socket = 0, Dictionary<string, double>? Readings = null)
{
    public const string CurrentFormat = "calibration-readings/1";

    private static readonly JsonSerializerOptions Options = Make();

    public BeginCalibrationRequest Begin => new(TubeOut, Meter, Note, PositiveUpToVolts, Fixture, Socket);

    /// <returns>The file, or what is wrong with it.</returns>
    public static Outcome<ReadingsFile> Parse(string json)
    {
        try
        {
            var file = JsonSerializer.Deserialize<ReadingsFile>(json, Options)!;
            return file.Format == CurrentFormat
                ? Outcome<ReadingsFile>.Accept(file)
                : Outcome<ReadingsFile>.Refuse(new Refusal("unknown-word", "/format", $"format is \"{file.Format}\"", $"allowed is \"{CurrentFormat}\"", "Write this word."));
        }
        catch (JsonException fault)
        {
            var refusal = BodyFault.Of(fault);
            return Outcome<ReadingsFile>.Refuse(refusal with { Remedy = "See sweeprig calibrate --help for the shape of a readings file." });
        }
    }

    private static JsonSerializerOptions Make()
    {
        var options = new JsonSerializerOptions();
        ApiJson.Apply(options);
        return options;
    }
}
