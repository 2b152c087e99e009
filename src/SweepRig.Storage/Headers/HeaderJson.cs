using System.Text.Json;
using System.Text.Json.Serialization;
using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;
using SweepRig.Domain.Studies;
using SweepRig.Domain.Tubes;

namespace SweepRig.Storage.Headers;

/// <summary>The JSON columns of a run. Keys come from the shapes in this folder, never from names of types.</summary>
internal static class HeaderJson
{
    public static string WritePlan(SweepPlan plan) => JsonSerializer.Serialize(StoredPlan.From(plan), HeaderJsonContext.Default.StoredPlan);

    public static string WriteHeader(RunHeader header) => JsonSerializer.Serialize(StoredHeader.From(header), HeaderJsonContext.Default.StoredHeader);

    /// <summary>A header in two texts: what other runs have too, and what is this run's own.</summary>
    public static (string Setup, string Own) WriteParts(RunHeader header)
    {
        var stored = StoredHeader.From(header);
        return (JsonSerializer.Serialize(StoredSetup.From(stored), HeaderJsonContext.Default.StoredSetup), JsonSerializer.Serialize(StoredRest.From(stored), HeaderJsonContext.Default.StoredRest));
    }

    /// <exception cref="InvalidDataException">The text is damaged or of a later format.</exception>
    public static SweepPlan ReadPlan(string json) => Read(json, HeaderJsonContext.Default.StoredPlan).ToPlan();

    /// <inheritdoc cref="ReadPlan"/>
    public static StoredHeader ReadHeader(string setupJson, string restJson)
    {
        var (setup, rest) = (Read(setupJson, HeaderJsonContext.Default.StoredSetup), Read(restJson, HeaderJsonContext.Default.StoredRest));
        if (setup.Format != StoredSetup.CurrentFormat) throw new InvalidDataException($"A run has setup format '{setup.Format}'; this program knows '{StoredSetup.CurrentFormat}'.");
        return rest.Format == StoredRest.CurrentFormat
            ? rest.With(setup)
            : throw new InvalidDataException($"A run has header format '{rest.Format}'; this program knows '{StoredRest.CurrentFormat}' beside its setup.");
    }

    /// <summary>Reads a header in one text, as an archive has it, and runs had it before they shared their setup.</summary>
    /// <inheritdoc cref="ReadPlan"/>
    public static StoredHeader ReadHeader(string json)
    {
        var header = Read(json, HeaderJsonContext.Default.StoredHeader);
        return header.Format == StoredHeader.CurrentFormat
            ? header
            : throw new InvalidDataException($"A run has header format '{header.Format}'; this program knows '{StoredHeader.CurrentFormat}'.");
    }

    private static T Read<T>(string json, System.Text.Json.Serialization.Metadata.JsonTypeInfo<T> shape)
    {
        try
        {
            return JsonSerializer.Deserialize(json, shape) ?? throw new InvalidDataException("A stored document is empty.");
        }
        catch (JsonException fault)
        {
            throw new InvalidDataException($"A stored document is damaged at {fault.Path}.", fault);
        }
    }
}

[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    RespectNullableAnnotations = true,
    Converters =
    [
        typeof(EnumWords<SweepDirection>), typeof(EnumWords<PassDirection>), typeof(EnumWords<SteppedSource>), typeof(EnumWords<ConnectionKind>),
        typeof(EnumWords<RigChannel>), typeof(EnumWords<Supplies>), typeof(EnumWords<ResetReason>), typeof(EnumWords<ScreeningStepKind>),
        typeof(EnumWords<StudyKind>), typeof(EnumWords<StudyRole>),
    ])]
[JsonSerializable(typeof(StoredPlan))]
[JsonSerializable(typeof(StoredHeader))]
[JsonSerializable(typeof(StoredSetup))]
[JsonSerializable(typeof(StoredRest))]
internal sealed partial class HeaderJsonContext : JsonSerializerContext;

/// <summary>Members of an enumeration as camel-case words.</summary>
internal sealed class EnumWords<T>() : JsonStringEnumConverter<T>(JsonNamingPolicy.CamelCase, allowIntegerValues: false)
    where T : struct, Enum;
