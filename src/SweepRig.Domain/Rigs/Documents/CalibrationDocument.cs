using System.Text.Json;
using SweepRig.Domain.Plans.Reading;

namespace SweepRig.Domain.Rigs.Documents;

/// <summary>A calibration as one JSON document (RFC 8259) with the unit in each key. Every fault of a document is reported at once, with its path.</summary>
public static class CalibrationDocument
{
    /// <summary>Value of the key <c>format</c>; a later shape gets another number.</summary>
    public const string Format = "rig-calibration/1";

    /// <summary>Longest document read, in characters; a calibration needs about six thousand.</summary>
    public const int MaxCharacters = 262_144;

    private static readonly Lazy<string> EmbeddedSchema = new(() => DocumentText.Schema(typeof(CalibrationDocument), "SweepRig.Domain.Rigs.Documents.rig-calibration.schema.json"));

    /// <summary>The JSON Schema (draft 2020-12) of the document.</summary>
    public static string Schema => EmbeddedSchema.Value;

    /// <returns>The calibration, or every fault with its JSON Pointer; malformed JSON gives one fault with line and column.</returns>
    public static Outcome<RigCalibration> Parse(string json) => DocumentText.Open(json, MaxCharacters, "a calibration", Parse);

    /// <summary>Reads a calibration from an element of a larger document; paths start at the element.</summary>
    public static Outcome<RigCalibration> Parse(JsonElement element) => DocumentText.Read(element, "a calibration", CalibrationReader.Read);

    /// <summary>Writes a calibration that was made, so that <see cref="Parse(string)"/> gives the same again.</summary>
    /// <exception cref="ArgumentException">It has no origin: nominal values are no calibration.</exception>
    public static string Write(RigCalibration calibration) => CalibrationWriter.Write(calibration);

    /// <summary>A calibration holds for one rig.</summary>
    /// <returns>The refusal that names both serial numbers; null when it is this rig's.</returns>
    public static Refusal? AgainstRig(RigCalibration calibration, string rigSerialNumber) => calibration.RigSerialNumber == rigSerialNumber ? null : new(
        "calibration-of-another-rig", "/rigSerialNumber", $"this calibration was made for rig {calibration.RigSerialNumber}", $"the rig here is {rigSerialNumber}",
        $"Use a calibration of {rigSerialNumber}, or connect {calibration.RigSerialNumber}.");
}
