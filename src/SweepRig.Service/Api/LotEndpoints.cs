using System.Text.Json;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Mvc;
using SweepRig.Analysis;
using SweepRig.Analysis.Grading;
using SweepRig.Analysis.Matching;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;
using SweepRig.Service.Stock;
using SweepRig.Storage;

namespace SweepRig.Service.Api;

/// <summary>A lot as a whole: figures of its tubes, spread, grades, pairs and groups. Worked out of the stored runs; what was worked out is kept while the service runs.</summary>
public static class LotEndpoints
{
    private const string Quantities = " A quantity is a word of /api/quantities; several are separated by commas, or given again. Constants of fit. take some seconds a tube when they are first asked for.";
    private const string By = " Quantities to be alike in stand in by, each with =TOLERANCE where a difference is to count as 1; or whole curves in curve, for example pentode or pentode=0.2.";

    public static void MapLots(this IEndpointRouteBuilder api)
    {
        api.MapGet("/quantities", () => TypedResults.Ok(new QuantityListView([.. StockQuantities.All.Select(LotSummaries.View)]))).WithTags("Lots").WithName("listQuantities")
            .WithSummary("All that tubes can be graded, matched, replaced and followed by.");
        var lots = api.MapGroup("/lots/{lot}").WithTags("Lots");
        lots.MapGet("/figures", FiguresAsync).WithName("getLotFigures").MayNotExist().RefusesInput().WithSummary("Figures of all tubes of a lot, for plots." + Quantities);
        lots.MapGet("/summary", SummaryAsync).WithName("getLotSummary").MayNotExist().RefusesInput().WithSummary("How figures of a lot are spread, with histogram and outliers." + Quantities);
        lots.MapPost("/grades/preview", PreviewAsync).WithName("previewGrades").MayNotExist().RefusesInput()
            .WithSummary("How a lot would fall under a list of grades (grades/1); nothing is changed.");
        lots.MapPost("/grades", GradeAsync).WithName("giveGrades").MayNotExist().RefusesInput().WithSummary("Gives the grades that are sure: they stand in the history of each tube.");
        lots.MapGet("/pairs", PairsAsync).WithName("getPairs").MayNotExist().RefusesInput()
            .WithSummary("The free tubes of a lot in pairs with the smallest sum of distances, proven; with worst, the worst pair as good as can be first." + By);
        lots.MapGet("/groups", GroupsAsync).WithName("getGroups").MayNotExist().RefusesInput()
            .WithSummary("The free tubes of a lot in groups of a size, with a bound of what could be better." + By);
    }

    private static async Task<Results<Ok<LotFiguresView>, JsonHttpResult<ProblemView>>> FiguresAsync(
        StockStore stock, RunStore runs, FigureShelf shelf, string lot, CancellationToken cancellationToken, [FromQuery(Name = "quantity")] string[]? quantities = null)
    {
        var (reading, named, problem) = await ReadAsync(stock, runs, shelf, lot, quantities, cancellationToken);
        return reading is null ? problem! : TypedResults.Ok(LotSummaries.Figures(reading, named));
    }

    private static async Task<Results<Ok<LotSummaryView>, JsonHttpResult<ProblemView>>> SummaryAsync(
        StockStore stock, RunStore runs, FigureShelf shelf, string lot, CancellationToken cancellationToken, [FromQuery(Name = "quantity")] string[]? quantities = null)
    {
        var (reading, named, problem) = await ReadAsync(stock, runs, shelf, lot, quantities, cancellationToken);
        return reading is null ? problem! : TypedResults.Ok(LotSummaries.Of(reading, named));
    }

    private static async Task<Results<Ok<LotGradesView>, JsonHttpResult<ProblemView>>> PreviewAsync(
        StockStore stock, RunStore runs, FigureShelf shelf, string lot, [FromBody] JsonElement grades, CancellationToken cancellationToken)
    {
        var (_, given, problem) = await JudgeAsync(stock, runs, shelf, lot, grades, cancellationToken);
        return given is null ? problem! : TypedResults.Ok(given);
    }

    private static async Task<Results<Ok<LotGradesView>, JsonHttpResult<ProblemView>>> GradeAsync(
        StockStore stock, RunStore runs, FigureShelf shelf, string lot, [FromBody] JsonElement grades, CancellationToken cancellationToken)
    {
        var (reading, given, problem) = await JudgeAsync(stock, runs, shelf, lot, grades, cancellationToken);
        return given is null ? problem! : TypedResults.Ok(await LotGrading.ApplyAsync(stock, reading!, given, cancellationToken));
    }

    private static async Task<Results<Ok<PairingView>, JsonHttpResult<ProblemView>>> PairsAsync(
        StockStore stock, RunStore runs, FigureShelf shelf, Workbench workbench, string lot, CancellationToken cancellationToken,
        string[]? by = null, string? curve = null, bool worst = false)
    {
        var (basis, problem) = await BasisAsync(stock, runs, shelf, lot, by, curve, 2, cancellationToken);
        return basis is null ? problem! : TypedResults.Ok(await workbench.RunAsync(() => LotMatching.Pairs(basis, worst, cancellationToken), cancellationToken));
    }

    private static async Task<Results<Ok<GroupingView>, JsonHttpResult<ProblemView>>> GroupsAsync(
        StockStore stock, RunStore runs, FigureShelf shelf, Workbench workbench, string lot, int size, CancellationToken cancellationToken, string[]? by = null, string? curve = null)
    {
        if (size is < 3 or > Grouping.MostMembers)
            return Problems.Refused([new("size-out-of-range", "/size", $"groups of {size}", $"3 to {Grouping.MostMembers} are allowed", "Ask for pairs, or for smaller groups.")]);
        var (basis, problem) = await BasisAsync(stock, runs, shelf, lot, by, curve, size, cancellationToken);
        if (basis is null) return problem!;
        var groups = await workbench.RunAsync(() => LotMatching.Groups(basis, size, cancellationToken), cancellationToken);
        return groups.IsAccepted ? TypedResults.Ok(groups.Value) : Problems.Refused(groups.Refusals);
    }

    private static async Task<(LotReading? Reading, IReadOnlyList<NamedQuantity> Named, JsonHttpResult<ProblemView>? Problem)> ReadAsync(
        StockStore stock, RunStore runs, FigureShelf shelf, string lot, string[]? quantities, CancellationToken cancellationToken)
    {
        var named = QuantityLists.Names(Given(quantities), "/quantity");
        if (!named.IsAccepted) return (null, [], Problems.Refused(named.Refusals));
        var (reading, problem) = await ReadAsync(stock, runs, shelf, lot, StockQuantities.SourcesOf(named.Value.Select(q => q.Word)), cancellationToken);
        return (reading, named.Value, problem);
    }

    private static async Task<(LotReading? Reading, LotGradesView? Given, JsonHttpResult<ProblemView>? Problem)> JudgeAsync(
        StockStore stock, RunStore runs, FigureShelf shelf, string lot, JsonElement grades, CancellationToken cancellationToken)
    {
        var scheme = GradeDocument.Parse(grades.GetRawText(), StockQuantities.WithSections);
        if (!scheme.IsAccepted) return (null, null, Problems.Refused([.. scheme.Refusals.Select(r => r.Path.Length == 0 ? r with { Path = "/" } : r)]));
        var words = scheme.Value.Grades.SelectMany(g => g.Limits).Select(l => l.Quantity);
        var (reading, problem) = await ReadAsync(stock, runs, shelf, lot, StockQuantities.SourcesOf(words), cancellationToken);
        return (reading, reading is null ? null : LotGrading.Of(scheme.Value, reading.Figures), problem);
    }

    private static async Task<(MatchBasis? Basis, JsonHttpResult<ProblemView>? Problem)> BasisAsync(
        StockStore stock, RunStore runs, FigureShelf shelf, string lot, string[]? by, string? curve, int fewest, CancellationToken cancellationToken)
    {
        var choice = MatchChoice.Of(by, curve);
        if (!choice.IsAccepted) return (null, Problems.Refused(choice.Refusals));
        var (reading, problem) = await ReadAsync(stock, runs, shelf, lot, choice.Value.Sources, cancellationToken);
        if (reading is null) return (null, problem);
        var basis = choice.Value.Basis(reading, fewest);
        return basis.IsAccepted ? (basis.Value, null) : (null, Problems.Refused(basis.Refusals));
    }

    private static async Task<(LotReading? Reading, JsonHttpResult<ProblemView>? Problem)> ReadAsync(
        StockStore stock, RunStore runs, FigureShelf shelf, string lot, FigureSources sources, CancellationToken cancellationToken)
    {
        // The server leaves an escaped slash in a path as it is.
        var name = lot.Replace("%2F", "/", StringComparison.OrdinalIgnoreCase);
        var reading = await LotReading.ReadAsync(stock, runs, shelf, name, sources, null, cancellationToken);
        if (reading.IsAccepted) return (reading.Value, null);
        return (null, reading.Refusals[0].Code == LotReading.UnknownLot ? Problems.NotFound($"lot {name}", "GET /api/lots lists those that do.") : Problems.Refused(reading.Refusals));
    }

    private static string[] Given(string[]? quantities) => quantities is { Length: > 0 } ? quantities : [LotSummaries.Usual];
}
