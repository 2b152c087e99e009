using System.Text.Json.Serialization;

namespace SweepRig.Storage.Archives;

/// <summary>What an archive holds, as its part <c>manifest.json</c> says: every other part with its size and SHA-256 (FIPS 180-4).</summary>
/// <param name="Format">A later shape gets another number.</param>
/// <param name="SoftwareVersion">Of the program that wrote it.</param>
/// <param name="MadeUtc">When.</param>
/// <param name="Parts">In the order written.</param>
public sealed record ArchiveManifest(string Format, string SoftwareVersion, DateTimeOffset MadeUtc, IReadOnlyList<ArchivePart> Parts)
{
    public const string CurrentFormat = "sweeprig-archive/1";
    public const string FileName = "manifest.json";
}

/// <param name="Name">Path within the archive, with forward slashes.</param>
/// <param name="Bytes">Length before compression.</param>
/// <param name="Sha256">64 hexadecimal digits, small letters.</param>
public sealed record ArchivePart(string Name, long Bytes, string Sha256);

/// <summary>The runs of an archive in the shape of a part, <c>runs/ID.json</c>; its samples lie beside it in <c>runs/ID.codes.csv</c>.</summary>
/// <param name="Plan">As a plan document has it.</param>
/// <param name="Header">All else that was known before the first sample: passes, calibration in force, rig, permit.</param>
internal sealed record ArchivedRun(
    string Format,
    string Id,
    DateTimeOffset StartedUtc,
    DateTimeOffset? EndedUtc,
    string State,
    long Samples,
    ArchivedTubeName Tube,
    int Socket,
    System.Text.Json.JsonElement Plan,
    System.Text.Json.JsonElement Header,
    IReadOnlyList<ArchivedTrip> Trips,
    IReadOnlyList<ArchivedGap> Gaps)
{
    public const string CurrentFormat = "archived-run/1";
}

internal sealed record ArchivedTubeName(string Label, string Type, string? Lot);

internal sealed record ArchivedTrip(string Cause, bool ByRig, string Measured, string Limit, DateTimeOffset OccurredUtc, long? RigMicroseconds);

internal sealed record ArchivedGap(int Pass, int FirstPoint, int Points, string Reason);

/// <summary>Lots with their tubes and all that happened to these: the part <c>stock.json</c>.</summary>
internal sealed record ArchivedStock(string Format, IReadOnlyList<ArchivedLot> Lots)
{
    public const string CurrentFormat = "archived-stock/1";
    public const string FileName = "stock.json";
}

internal sealed record ArchivedLot(
    string Name, string Prefix, string? Type, string? Origin, string? Price, string? Note, DateTimeOffset BookedUtc, IReadOnlyList<ArchivedTube> Tubes);

internal sealed record ArchivedTube(string Label, IReadOnlyList<ArchivedChange> History);

internal sealed record ArchivedChange(string Kind, string Text, DateTimeOffset AtUtc);

[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    RespectNullableAnnotations = true,
    RespectRequiredConstructorParameters = true,
    WriteIndented = true)]
[JsonSerializable(typeof(ArchiveManifest))]
[JsonSerializable(typeof(ArchivedRun))]
[JsonSerializable(typeof(ArchivedStock))]
internal sealed partial class ArchiveJsonContext : JsonSerializerContext;
