using System.Net.Mime;
using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Domain;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Contract;
using SweepRig.Service.Mornings;
using SweepRig.Service.Reports;

namespace SweepRig.Service.Api;

/// <summary>The morning report, made when it is asked for.</summary>
public static class MorningEndpoints
{
    private const string Since = " Of the last 14 hours, or with since of another time: so long ago (45min, 8h, 2d), or a date and time.";

    public static void MapMorning(this IEndpointRouteBuilder api)
    {
        var morning = api.MapGroup("/morning").WithTags("Events");
        morning.MapGet("", ViewAsync).WithName("getMorning").RefusesInput().WithSummary("What must be known in the morning: the bench now, what to do first, what ran, tripped and drifted, what became of alarms." + Since);
        morning.MapGet("/report.html", HtmlAsync).WithName("getMorningHtml").RefusesInput()
            .Produces<string>(StatusCodes.Status200OK, MediaTypeNames.Text.Html).WithSummary("The same as one HTML file that needs no other." + Since);
        morning.MapGet("/report.pdf", PdfAsync).WithName("getMorningPdf").RefusesInput()
            .Produces<byte[]>(StatusCodes.Status200OK, MediaTypeNames.Application.Pdf).WithSummary("The same as PDF, on a4 or letter paper." + Since);
    }

    private static async Task<Results<Ok<MorningView>, JsonHttpResult<ProblemView>>> ViewAsync(MorningDesk desk, TimeProvider time, CancellationToken cancellationToken, string? since = null, string? until = null)
    {
        var span = Span(since, until, time);
        return span.IsAccepted ? TypedResults.Ok(await desk.ReadAsync(span.Value, cancellationToken)) : Problems.Refused(span.Refusals);
    }

    private static async Task<Results<ContentHttpResult, JsonHttpResult<ProblemView>>> HtmlAsync(MorningDesk desk, TimeProvider time, CancellationToken cancellationToken, string? since = null, string? until = null)
    {
        var span = Span(since, until, time);
        return span.IsAccepted
            ? TypedResults.Content(HtmlReport.Write(MorningReport.Of(await desk.ReadAsync(span.Value, cancellationToken), desk.Zone)), "text/html; charset=utf-8")
            : Problems.Refused(span.Refusals);
    }

    private static async Task<Results<FileContentHttpResult, JsonHttpResult<ProblemView>>> PdfAsync(MorningDesk desk, TimeProvider time, CancellationToken cancellationToken, string? since = null, string? until = null, string? paper = null)
    {
        if (Paper.Find(paper) is not { } sheet) return Problems.Refused([ReportEndpoints.UnknownPaper(paper)]);
        var span = Span(since, until, time);
        return span.IsAccepted
            ? TypedResults.File(PdfReport.Write(MorningReport.Of(await desk.ReadAsync(span.Value, cancellationToken), desk.Zone), sheet), MediaTypeNames.Application.Pdf, "morning.pdf")
            : Problems.Refused(span.Refusals);
    }

    /// <param name="since">As asked; null for the usual time before the end.</param>
    /// <param name="until">As asked; null for now.</param>
    public static Outcome<MorningSpan> Span(string? since, string? until, TimeProvider time)
    {
        var now = time.GetUtcNow();
        // A clock of another process may be a moment ahead.
        if ((until is null ? now : TimeBack.Parse(until, now.AddSeconds(5))) is not { } end)
            return Outcome<MorningSpan>.Refuse(new Refusal("until-not-understood", "/until", $"until {until}", TimeBack.Allowed, "Leave it out for now."));
        var from = since is null ? end - MorningSpan.Usual : TimeBack.Parse(since, now);
        return from is { } begin && begin < end && end - begin <= MorningSpan.Longest
            ? Outcome<MorningSpan>.Accept(new(begin, end))
            : Outcome<MorningSpan>.Refuse(new Refusal("since-not-understood", "/since", $"since {since}", from is null ? TimeBack.Allowed : "a time before the end, and at most 31 days before it", "Ask for example since 12h."));
    }
}
