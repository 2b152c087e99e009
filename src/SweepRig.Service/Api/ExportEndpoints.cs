using System.Net.Mime;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Mvc;
using SweepRig.Domain;
using SweepRig.Service.Contract;
using SweepRig.Service.Exports;
using SweepRig.Storage;

namespace SweepRig.Service.Api;

/// <summary>Samples and levels of many runs as one file.</summary>
public static class ExportEndpoints
{
    private const string Words = " Of lots, tubes and runs that the query names, as csv, json or parquet. With calibration: as for the curves.";

    public static void MapExports(this IEndpointRouteBuilder api)
    {
        var exports = api.MapGroup("/exports").WithTags("Runs");
        exports.MapGet("/samples", SamplesAsync).WithName("exportSamples").RefusesInput().Produces<byte[]>(StatusCodes.Status200OK, MediaTypeNames.Application.Octet)
            .WithSummary("Samples of runs, a row a point, with units and standard uncertainties." + Words);
        exports.MapGet("/levels", LevelsAsync).WithName("exportLevels").RefusesInput().Produces<byte[]>(StatusCodes.Status200OK, MediaTypeNames.Application.Octet)
            .WithSummary("Levels of runs, a row a level of a curve, its unit in the row." + Words);
    }

    private static Task<Results<FileStreamHttpResult, JsonHttpResult<ProblemView>>> SamplesAsync(
        RunStore runs, StockStore stock, CalibrationStore calibrations, CancellationToken cancellationToken, [FromQuery(Name = "lot")] string[]? lots = null,
        [FromQuery(Name = "tube")] string[]? tubes = null, [FromQuery(Name = "run")] string[]? ids = null, string form = "csv", string? calibration = null) =>
        ExportAsync(runs, stock, calibrations, new("samples", lots ?? [], tubes ?? [], ids ?? [], form, calibration), RunTables.SamplesAsync, cancellationToken);

    private static Task<Results<FileStreamHttpResult, JsonHttpResult<ProblemView>>> LevelsAsync(
        RunStore runs, StockStore stock, CalibrationStore calibrations, CancellationToken cancellationToken, [FromQuery(Name = "lot")] string[]? lots = null,
        [FromQuery(Name = "tube")] string[]? tubes = null, [FromQuery(Name = "run")] string[]? ids = null, string form = "csv", string? calibration = null) =>
        ExportAsync(runs, stock, calibrations, new("levels", lots ?? [], tubes ?? [], ids ?? [], form, calibration), RunTables.LevelsAsync, cancellationToken);

    private static async Task<Results<FileStreamHttpResult, JsonHttpResult<ProblemView>>> ExportAsync(
        RunStore runs, StockStore stock, CalibrationStore calibrations, Asked asked, Func<Stream, TableForm, CancellationToken, Task<IRunTable>> begin, CancellationToken cancellationToken)
    {
        if (RunTables.FormNamed(asked.Form) is not { } form)
            return Problems.Refused([new Refusal("form-unknown", "/form", $"form \"{asked.Form}\"", "allowed are csv, json and parquet", "Ask for one of these, or leave it out for csv.")]);
        foreach (var id in asked.Runs)
            if (await runs.FindAsync(id, cancellationToken) is null) return Problems.Refused([new Refusal("run-unknown", "/run", $"run {id}", "there is none of that id here", "See /api/runs.")]);
        var chosen = await ExportChoice.IdsAsync(runs, stock, asked.Runs, asked.Lots, [.. asked.Tubes.Select(StockEndpoints.Number)], cancellationToken);
        if (!chosen.IsAccepted) return Problems.Refused(chosen.Refusals);
        var file = PassingFile.Make();
        try
        {
            IReadOnlyList<Refusal>? refusals;
            await using (var table = await begin(file, form, cancellationToken))
                refusals = await RunExport.ToTablesAsync(runs, calibrations, chosen.Value, asked.Calibration, [table], null, cancellationToken);
            if (refusals is null)
            {
                file.Position = 0;
                return TypedResults.Stream(file, RunTables.MediaType(form), $"{asked.What}.{asked.Form.ToLowerInvariant()}");
            }
            await file.DisposeAsync();
            return Problems.Refused(refusals);
        }
        catch
        {
            await file.DisposeAsync();
            throw;
        }
    }

    private sealed record Asked(string What, string[] Lots, string[] Tubes, string[] Runs, string Form, string? Calibration);
}
