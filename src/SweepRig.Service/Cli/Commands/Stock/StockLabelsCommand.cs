using System.CommandLine;
using System.Globalization;
using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Live;
using SweepRig.Service.Reports;
using SweepRig.Service.Reports.Labels;
using SweepRig.Storage;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>Prints labels for tubes.</summary>
public static class StockLabelsCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "labels", "Writes a sheet of labels as PDF: a QR code that holds the plain number, the number, and the type. Print it at 100 %, not fitted to the page.",
            new Example("sweeprig stock labels Skua --to labels.pdf", "All tubes of a lot, on plain A4 to be cut."),
            new Example("sweeprig stock labels SKUA-014 SKUA-015 --to labels.pdf --skip 12", "Two tubes, on a sheet of which twelve labels are used up."),
            new Example("sweeprig stock labels Skua --to labels.pdf --grid 3x8 --label 70x36 --margin 0x4.5", "On bought sheets: numbers as on their packet."));
        var which = new Argument<string[]>("LOT|NUMBER") { Description = "Lots by name and tubes by number, in the order of the sheet; retired tubes of a lot are left out", Arity = ArgumentArity.OneOrMore };
        var to = new Option<string>("--to") { Description = "PDF file to write", HelpName = "FILE", Required = true };
        var paper = ReportFiles.PaperOption();
        var grid = Pair("--grid", "CxR", "Columns and rows (default: as many as fit)", 1, 40, "Give for example 3x8.");
        var label = Pair("--label", "WxH", $"Width and height of a label, mm (default: {LabelGrid.UsualWidth}x{LabelGrid.UsualHeight})", LabelGrid.LeastHeight, 300, "Give for example 70x36.");
        var margin = Pair("--margin", "LxT", "From the edge of the sheet to the first label, left and top, mm (default: the grid in the middle)", 0, 200, "Give for example 7.2x12.9.");
        var gap = Pair("--gap", "AxD", "Between labels, across and down, mm (default: none)", 0, 100, "Give for example 2.5x0.");
        var skip = Bounded.Whole("--skip", "N", "Labels of the first sheet that are used up (default: 0)", 0, 1599, "labels", "Count those that are gone, row by row.");
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(which);
        foreach (var option in new Option[] { to, paper, grid, label, margin, gap, skip, data, json }) command.Add(option);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            var (columns, rows) = parsed.GetValue(grid) is { } g ? ((int?)g.First, (int?)g.Second) : (null, null);
            var sheet = LabelGrid.Of(parsed.GetValue(paper) ?? Paper.A4, columns, rows, Of(parsed.GetValue(label)), Of(parsed.GetValue(margin)), Of(parsed.GetValue(gap)));
            var start = parsed.GetValue(skip) ?? 0;
            List<Refusal> faults = [.. sheet.Faults()];
            if (faults.Count == 0 && start >= sheet.PerSheet)
                faults.Add(new("skip-past-the-sheet", "/skip", $"{start} labels are used up", $"a sheet has {sheet.PerSheet}", "Take a new sheet."));
            if (faults.Count > 0) return context.Tell(faults, asJson, ExitCode.BadInput);
            await using var runs = await RunsCommand.OpenAsync(context, parsed.GetValue(data), cancellation);
            var tubes = await TubesAsync(runs is null ? null : StockCommand.Of(context, runs), parsed.GetValue(which)!, cancellation);
            if (!tubes.IsAccepted) return context.Tell(tubes.Refusals, asJson, ExitCode.BadInput);
            var pdf = LabelSheet.Write([.. tubes.Value.Select(t => new TubeLabel(t.Label, t.TypeName ?? ""))], sheet, start);
            var file = parsed.GetRequiredValue(to);
            await RecordedRun.WriteFileAsync(file, async (Stream stream) => await stream.WriteAsync(pdf, cancellation));
            var sheets = (start + tubes.Value.Count + sheet.PerSheet - 1) / sheet.PerSheet;
            if (asJson) CliJson.Write(context.Terminal, new { File = file, Labels = tubes.Value.Count, Sheets = sheets });
            else context.Terminal.Line($"{tubes.Value.Count} labels on {sheets} {(sheets == 1 ? "sheet" : "sheets")} of {sheet.Columns} by {sheet.Rows}: {file}. Print at 100 %, not fitted to the page.");
            return ExitCode.Good;
        });
        return command;
    }

    private static async Task<Outcome<List<StockTube>>> TubesAsync(StockStore? stock, string[] which, CancellationToken cancellation)
    {
        var (tubes, faults) = (new List<StockTube>(), new List<Refusal>());
        foreach (var asked in which)
        {
            var tube = stock is null ? null : await stock.FindAsync(TubeNumber.Of(asked).Label, cancellation);
            StockTube[] found = tube is not null ? [tube] : stock is null ? [] : [.. (await stock.TubesAsync(asked, cancellation)).Where(t => t.State != TubeState.Retired)];
            if (found.Length == 0)
                faults.Add(new("label-of-nothing", "", $"labels for {asked}", "the stock has no tube of that number and no lot of that name with tubes", "See sweeprig stock list --lots."));
            tubes.AddRange(found);
        }
        return faults.Count > 0 ? Outcome<List<StockTube>>.Refuse(faults) : Outcome<List<StockTube>>.Accept(tubes);
    }

    private static (double, double)? Of(PairOfNumbers? pair) => pair is null ? null : (pair.First, pair.Second);

    private static Option<PairOfNumbers?> Pair(string name, string valueName, string description, double min, double max, string remedy) => new(name)
    {
        Description = description,
        HelpName = valueName,
        CustomParser = result =>
        {
            var text = result.Tokens[^1].Value;
            double[] numbers = [.. text.Split('x', 'X').Select(p => double.TryParse(p, NumberStyles.Float, CultureInfo.InvariantCulture, out var n) ? n : double.NaN)];
            // Columns and rows are whole.
            if (numbers.Length == 2 && numbers.All(n => n >= min && n <= max && (valueName != "CxR" || n == Math.Floor(n)))) return new(numbers[0], numbers[1]);
            result.AddError(string.Create(CultureInfo.InvariantCulture, $"{name} {text}: allowed are two numbers with an x between them, each {min} to {max}. {remedy}"));
            return null;
        },
    };

    private sealed record PairOfNumbers(double First, double Second);
}
