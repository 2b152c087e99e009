using System.CommandLine;
using SweepRig.Domain.Stock;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Stock;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>Lists tubes, or lots.</summary>
public static class StockListCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "list", "Lists tubes; with --lots, the lots.",
            new Example("sweeprig stock list --lot Skua --state new", "What has not been screened yet."),
            new Example("sweeprig stock list --find \"drawer 3\"", "What lies there."),
            new Example("sweeprig stock list --lots", "Lots, with how many tubes each has."));
        var lot = Bounded.Text("--lot", "LOT", "Only tubes of this lot", Lot.LongestName, "Give its name.");
        var type = Bounded.Text("--type", "TYPE", "Only tubes of this type", 20, "Give the registered designation.");
        var state = new Option<string?>("--state") { Description = $"Only tubes that are {string.Join(", ", StockWords.States)}", HelpName = "STATE" };
        state.Validators.Add(result =>
        {
            if (result.Tokens.Count > 0 && !StockWords.States.Contains(result.Tokens[^1].Value, StringComparer.OrdinalIgnoreCase))
                result.AddError($"--state {result.Tokens[^1].Value}: allowed is {string.Join(", ", StockWords.States)}. Leave it out for all.");
        });
        var find = Bounded.Text("--find", "TEXT", "Only tubes with this text in their number, place, use or notes", TubeChange.LongestText, "Make it shorter.");
        var lots = new Option<bool>("--lots") { Description = "List the lots instead" };
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        foreach (var option in new Option[] { lot, type, state, find, lots, data, json }) command.Add(option);
        command.SetAction(async (parsed, cancellation) =>
        {
            await using var runs = await RunsCommand.OpenAsync(context, parsed.GetValue(data), cancellation);
            var store = runs is null ? null : StockCommand.Of(context, runs);
            if (parsed.GetValue(lots))
            {
                var all = store is null ? [] : await store.LotsAsync(cancellation);
                if (parsed.GetValue(json)) CliJson.Write(context.Terminal, all.Select(l => LotView.Of(l.Lot, l.Tubes)));
                else if (all.Count == 0) context.Terminal.Line(StockCommand.NothingIn(context, parsed.GetValue(data)));
                else WriteLots(context, all);
                return ExitCode.Good;
            }
            var tubes = store is null ? [] : await store.TubesAsync(parsed.GetValue(lot), cancellation);
            var shown = tubes.Where(new TubeFilter(null, parsed.GetValue(type), parsed.GetValue(state), null, null, parsed.GetValue(find)).Takes).ToArray();
            if (parsed.GetValue(json)) CliJson.Write(context.Terminal, shown.Select(StockTubeView.Of));
            else if (shown.Length > 0) WriteTubes(context, shown);
            else if (tubes.Count == 0 && parsed.GetValue(lot) is null) context.Terminal.Line(StockCommand.NothingIn(context, parsed.GetValue(data)));
            else context.Terminal.Line("No tube is like that. Leave out a condition, or see sweeprig stock list --lots.");
            return ExitCode.Good;
        });
        return command;
    }

    private static void WriteTubes(CliContext context, StockTube[] tubes)
    {
        var table = new TextTable(("tube", false), ("lot", false), ("type", false), ("state", false), ("grade", false), ("where", false));
        foreach (var tube in tubes)
            table.Row(tube.Label, tube.Lot, tube.TypeName ?? "?", StockWords.Word(tube.State), tube.Grade ?? "", tube.InUseAt ?? tube.Location ?? "");
        foreach (var line in table.Lines(context.Terminal.OutInk)) context.Terminal.Line(line);
        context.Terminal.Line(tubes.Length == 1 ? "1 tube." : $"{tubes.Length} tubes.");
    }

    private static void WriteLots(CliContext context, IReadOnlyList<(Lot Lot, int Tubes)> lots)
    {
        var table = new TextTable(("lot", false), ("numbers", false), ("type", false), ("tubes", true), ("booked in", false), ("origin", false), ("price", false));
        foreach (var (lot, tubes) in lots)
        {
            table.Row(
                lot.Name, lot.Label(1), lot.TypeName ?? "mixed", tubes.ToString(System.Globalization.CultureInfo.InvariantCulture),
                lot.BookedUtc.ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture), lot.Origin ?? "", lot.Price ?? "");
        }
        foreach (var line in table.Lines(context.Terminal.OutInk)) context.Terminal.Line(line);
    }
}
