using System.Text.Json;
using SweepRig.Domain.Plans.Reading;

namespace SweepRig.Domain.Plans;

/// <summary>A sweep plan as a JSON document (RFC 8259) with the unit in each key. Every fault of a document is reported at once, with its path.</summary>
public static class PlanDocument
{
    /// <summary>Value of the key <c>format</c>; a later shape gets another number.</summary>
    public const string Format = "sweep-plan/1";

    /// <summary>Longest document read, in characters; a plan needs about a thousand.</summary>
    public const int MaxCharacters = 262_144;

    private static readonly Lazy<string> EmbeddedSchema = new(() => DocumentText.Schema(typeof(PlanDocument), "SweepRig.Domain.Plans.sweep-plan.schema.json"));

    /// <summary>The JSON Schema (draft 2020-12) of the document.</summary>
    public static string Schema => EmbeddedSchema.Value;

    /// <summary>Reads a plan.</summary>
    /// <param name="json">The document.</param>
    /// <returns>The plan, or every fault with its JSON Pointer; malformed JSON gives one fault with line and column.</returns>
    public static Outcome<SweepPlan> Parse(string json) => DocumentText.Open(json, MaxCharacters, "a sweep plan", Parse);

    /// <summary>Reads a plan from an element of a larger document; paths start at the element.</summary>
    public static Outcome<SweepPlan> Parse(JsonElement element) => DocumentText.Read(element, "a sweep plan", PlanReader.Read);

    /// <summary>Writes a plan so that <see cref="Parse(string)"/> gives the same plan again.</summary>
    public static string Write(SweepPlan plan) => PlanWriter.Write(plan);
}
