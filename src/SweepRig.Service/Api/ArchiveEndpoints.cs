using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Mvc;
using SweepRig.Domain;
using SweepRig.Service.Archives;
using SweepRig.Service.Contract;
using SweepRig.Service.Hosting;
using SweepRig.Service.Stations;
using SweepRig.Storage;
using SweepRig.Storage.Archives;

namespace SweepRig.Service.Api;

/// <summary>Archives: given out, looked at and taken in.</summary>
public static class ArchiveEndpoints
{
    /// <summary>Largest archive that is taken through the service, bytes; a larger one is read by the command line.</summary>
    public const long MostBytes = 1L << 30;

    public const string Path = "/api/archive";
    public const string Zip = "application/zip";

    public static void MapArchives(this IEndpointRouteBuilder api)
    {
        var archive = api.MapGroup("/archive").WithTags("Archive");
        archive.MapGet("", WriteAsync).WithName("writeArchive").RefusesInput().Produces<byte[]>(StatusCodes.Status200OK, Zip)
            .WithSummary("An archive with all that is needed to repeat and re-judge runs: of lots, tubes and runs that are named, or of all that is here.");
        archive.MapPost("", ReadAsync).WithName("readArchive").Refuses().Accepts<byte[]>(Zip).WithMetadata(new RequestSizeLimitAttribute(MostBytes))
            .Produces<ProblemView>(StatusCodes.Status413PayloadTooLarge, Problems.ContentType)
            .WithSummary("Takes an archive in, whole or not at all; with look, only says what it would bring. Conflicts stop it, unless keepHere leaves what is here as it is and takes in the rest. With lot=NAME=OTHER a lot gets another name here, and its tubes other numbers.");
    }

    private static async Task<Results<FileStreamHttpResult, JsonHttpResult<ProblemView>>> WriteAsync(
        RunStore runs, StockStore stock, CalibrationStore calibrations, BenchOptions options, TimeProvider time, CancellationToken cancellationToken,
        [FromQuery(Name = "lot")] string[]? lots = null, [FromQuery(Name = "tube")] string[]? tubes = null, [FromQuery(Name = "run")] string[]? ids = null)
    {
        var what = new ArchiveSelection(lots ?? [], [.. (tubes ?? []).Select(StockEndpoints.Number)], ids ?? []);
        if (await ArchiveChoice.UnknownAsync(runs, stock, what, cancellationToken) is { Count: > 0 } faults) return Problems.Refused(faults);
        var file = PassingFile.Make();
        try
        {
            await new ArchiveWriter(runs, stock, calibrations, time).WriteAsync(file, what, TypeDocuments.Of(options.DataDirectory), BenchServices.SoftwareVersion, null, cancellationToken);
            file.Position = 0;
            return TypedResults.Stream(file, Zip, FormattableString.Invariant($"sweeprig-{time.GetUtcNow():yyyy-MM-dd}.zip"));
        }
        catch
        {
            await file.DisposeAsync();
            throw;
        }
    }

    private static async Task<Results<Ok<ArchiveFindingsView>, JsonHttpResult<ProblemView>>> ReadAsync(
        HttpRequest request, StationList stations, RunStore runs, StockStore stock, CalibrationStore calibrations, CancellationToken cancellationToken, bool look = false, bool keepHere = false,
        [FromQuery(Name = "lot")] string[]? lots = null)
    {
        if (request.ContentLength > MostBytes) return TooLarge();
        // One long transaction would keep the samples of a sweep waiting.
        if (!look && stations.Any(s => s.Runner.State.Run is not null))
            return Problems.Refused([new Refusal("run-under-way", "", "an archive is to be taken in while a run is under way", "the store is busy with its samples", "Wait for the end of the run, then send it again.")]);
        var choices = LotNames.Read(lots ?? [], keepHere);
        if (!choices.IsAccepted) return Problems.Refused(choices.Refusals);
        await using var file = PassingFile.Make();
        await request.Body.CopyToAsync(file, cancellationToken);
        file.Position = 0;
        var reader = new ArchiveReader(runs, stock, calibrations);
        var found = look ? await reader.LookAsync(file, choices.Value, null, cancellationToken) : await reader.TakeInAsync(file, choices.Value, null, cancellationToken);
        return found.IsAccepted ? TypedResults.Ok(ArchiveViews.Of(found.Value)) : Problems.Refused([.. found.Refusals.Select(r => r with { Path = "/" })]);
    }

    private static JsonHttpResult<ProblemView> TooLarge() => Problems.Of(StatusCodes.Status413PayloadTooLarge, "too-large", "Too large",
        [new Refusal("archive-too-large", "/", "the archive", $"the service takes {MostBytes >> 20} MiB", "End the service, and read it with: sweeprig archive read FILE.")]);
}
