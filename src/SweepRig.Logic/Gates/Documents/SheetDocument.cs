using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;

namespace SweepRig.Logic.Gates.Documents;

/// <summary>A sheet of gates as a JSON document (RFC 8259) with the unit in each key. Every fault of a document is reported at once, with its path.</summary>
public static class SheetDocument
{
    /// <summary>Value of the key <c>format</c>; a later shape gets another number.</summary>
    public const string Format = "gates/1";

    /// <summary>Longest document read, in characters.</summary>
    public const int MaxCharacters = 1_048_576;

    private static readonly Lazy<string> EmbeddedSchema = new(() => DocumentText.Schema(typeof(SheetDocument), "SweepRig.Logic.Gates.Documents.gates.schema.json"));

    /// <summary>The JSON Schema (draft 2020-12) of the document.</summary>
    public static string Schema => EmbeddedSchema.Value;

    /// <returns>A sheet that passes <see cref="SheetChecks"/>, or every fault with its JSON Pointer; malformed JSON gives one fault with line and column.</returns>
    public static Outcome<GateSheet> Parse(string json) => DocumentText.Open(json, MaxCharacters, "a sheet of gates", Parse);

    /// <summary>Reads a sheet from an element of a larger document; paths start at the element.</summary>
    public static Outcome<GateSheet> Parse(JsonElement element) => DocumentText.Read(element, "a sheet of gates", SheetReader.Read);
}
