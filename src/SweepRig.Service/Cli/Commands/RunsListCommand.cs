using System.CommandLine;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Service.Api;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;

namespace SweepRig.Service.Cli.Commands;

public static class RunsListCommand
{
    private const int Usual = 20;

    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "list", "Lists the newest runs.",
            new Example("sweeprig runs list", $"The newest {Usual}."),
            new Example("sweeprig runs list --only sweeps", "Without the steps of screenings."),
            new Example("sweeprig runs list --limit 200 --json", "More of them, for a script."));
        var limit = Bounded.Whole("--limit", "N", $"How many at most (default: {Usual})", 1, RequestFaults.MaxRunsListed, "runs", "Page on with --older-than.");
        var olderThan = new Option<string?>("--older-than") { Description = "Only runs before this one", HelpName = "ID" };
        var only = new Option<string?>("--only") { Description = "Only sweeps, or only screenings (default: both)", HelpName = "KIND" };
        only.Validators.Add(result =>
        {
            if (result.Tokens.Count > 0 && RequestFaults.KindOf(result.Tokens[^1].Value) is null)
                result.AddError($"--only {result.Tokens[^1].Value}: allowed is sweeps or screenings. Leave it out for both.");
        });
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(limit);
        command.Add(olderThan);
        command.Add(only);
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var wanted = parsed.GetValue(limit) ?? Usual;
            await using var store = await RunsCommand.OpenAsync(context, parsed.GetValue(data), cancellation);
            // One more than wanted tells whether there is another page.
            var runs = store is null ? [] : await store.ListAsync(wanted + 1, parsed.GetValue(olderThan), RequestFaults.KindOf(parsed.GetValue(only)), cancellation);
            var page = runs.Take(wanted).ToArray();
            var next = runs.Count > wanted ? page[^1].Header.Id : null;
            if (parsed.GetValue(json)) CliJson.Write(context.Terminal, new RunListView([.. page.Select(RunViews.Of)], next));
            else if (page.Length == 0) context.Terminal.Line(RunsCommand.NothingIn(context, parsed.GetValue(data)));
            else Write(context, page, next, parsed.GetValue(only));
            return ExitCode.Good;
        });
        return command;
    }

    private static void Write(CliContext context, RunRecord[] page, string? next, string? only)
    {
        var digits = RunFinder.DigitsNeeded(page.Select(r => r.Header.Id));
        var table = new TextTable(("run", false), ("started (UTC)", false), ("tube", false), ("type", false), ("connection", false), ("drive", false), ("samples", true), ("state", false),
            (page.Any(r => r.Header.Screening is not null) ? "for" : "", false));
        foreach (var run in page)
        {
            var (header, plan) = (run.Header, run.Header.Plan);
            table.Row(
                header.Id[..digits], RunText.Time(header.StartedUtc).Replace(" UTC", "", StringComparison.Ordinal), header.Tube.Label, header.Tube.TypeName,
                BenchViews.Word(plan.Connection.Kind), $"{Plain(plan.Start)} to {Plain(plan.Stop)} V", run.Samples.ToString(System.Globalization.CultureInfo.InvariantCulture), State(run),
                header.Screening is null ? "" : "screening");
        }
        foreach (var line in table.Lines(context.Terminal.OutInk)) context.Terminal.Line(line);
        if (next is not null) context.Terminal.Line($"Older ones: sweeprig runs list --older-than {next[..digits]}{(only is null ? "" : $" --only {only}")}");
    }

    private static string State(RunRecord run) => BenchViews.Word(run.State) + (run.Gaps.Count > 0 ? ", with gaps" : "");

    private static string Plain(Volts volts) => volts.Value.ToString("0.###", System.Globalization.CultureInfo.InvariantCulture);
}
