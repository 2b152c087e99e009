using System.CommandLine;
using System.Globalization;
using SweepRig.Analysis;
using SweepRig.Analysis.Levels;
using SweepRig.Analysis.Matching;
using SweepRig.Domain.Plans.Reading;
using SweepRig.Domain.Stock;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Stock;

namespace SweepRig.Service.Cli.Commands.Stock;

/// <summary>Pairs the tubes of a lot.</summary>
public static class MatchCommand
{
    private const string Usual = "pentode.switching-drive,pentode.vol,pentode.cut-off-drive";

    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "match", "Pairs the tubes of a lot so that the sum of all differences is as small as it can be, and proves it.",
            new Example("sweeprig match Skua", "By switching drive, VOL and cut-off drive in pentode connection."),
            new Example("sweeprig match Skua --by triode.switching-drive,triode.vol=0.2", "In triode connection; 0.2 V of VOL count as much as one uncertainty."));
        var lot = new Argument<string>("LOT") { Description = "Name of the lot; retired tubes and tubes in use are left out" };
        var by = new Option<IReadOnlyList<MatchQuantity>>("--by")
        {
            Description = $"Quantities to be alike in, each with =TOLERANCE where a difference is to count as 1 (default: {Usual}, each over the uncertainty of the difference). A quantity is pentode. or triode. and one of {string.Join(", ", NamedLevels.All.Select(l => l.Word))}",
            HelpName = "LIST",
            DefaultValueFactory = _ => Read(Usual, _ => { }),
            CustomParser = result => Read(result.Tokens[^1].Value, result.AddError),
        };
        var (json, data) = (SharedOptions.Json(), SharedOptions.Data());
        command.Add(lot);
        command.Add(by);
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            await using var runs = await RunsCommand.OpenAsync(context, parsed.GetValue(data), cancellation);
            if (await LotReading.OfAsync(context, runs, parsed.GetValue(lot)!, parsed.GetValue(data), asJson, cancellation) is not { } reading) return ExitCode.BadInput;
            var quantities = parsed.GetValue(by)!;
            var usable = reading.Figures.Where((f, i) => reading.Tubes[i].State != TubeState.InUse && Likeness.Distance(quantities, f.Figures, f.Figures) is not null).ToArray();
            var without = reading.Figures.Where((f, i) => reading.Tubes[i].State != TubeState.InUse && !usable.Contains(f)).Select(f => f.Label).ToArray();
            if (usable.Length < 2)
            {
                context.Tell(
                    [new("too-few-tubes", "/lot", $"{usable.Length} tubes of {parsed.GetValue(lot)} have {string.Join(", ", quantities.Select(q => q.Quantity))}", "a pairing needs 2 or more",
                        "Sweep them in that connection first, or match by other quantities.")],
                    asJson, ExitCode.BadInput);
                return ExitCode.BadInput;
            }
            var pairing = Pairing.Best(usable.Length, (i, j) => Likeness.Distance(quantities, usable[i].Figures, usable[j].Figures)!.Value, cancellationToken: cancellation);
            if (asJson) CliJson.Write(context.Terminal, View(pairing, usable, quantities, without));
            else Write(context, pairing, usable, quantities, without);
            return ExitCode.Good;
        });
        return command;
    }

    private static MatchQuantity[] Read(string list, Action<string> fault)
    {
        var read = new List<MatchQuantity>();
        foreach (var item in list.Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries))
        {
            var parts = item.Split('=', 2);
            double? tolerance = null;
            if (parts.Length == 2)
            {
                if (!double.TryParse(parts[1], NumberStyles.Float, CultureInfo.InvariantCulture, out var number) || !(number > 0) || !double.IsFinite(number))
                    fault($"--by {item}: the tolerance is \"{parts[1]}\". Give a number above 0, in the unit of the quantity.");
                tolerance = number;
            }
            if (!TubeFigures.Words.Contains(parts[0]))
                fault($"--by {parts[0]}: there is no such quantity. {(NearestKey.Of(parts[0], TubeFigures.Words) is { } nearest ? $"Did you mean {nearest}?" : "The help lists them.")}");
            read.Add(new(parts[0], tolerance));
        }
        if (read.Count == 0) fault("--by names no quantity. Leave it out for the usual ones.");
        return [.. read];
    }

    private static PairingView View(Pairing pairing, TubeFigures[] tubes, IReadOnlyList<MatchQuantity> quantities, string[] without) => new(
        [.. pairing.Pairs.Select(p => new PairView(
            tubes[p.First].Label, tubes[p.Second].Label, p.Distance,
            [.. quantities.Select(q => new PairDifferenceView(q.Quantity, tubes[p.First].Figures[q.Quantity], tubes[p.Second].Figures[q.Quantity]))]))],
        pairing.LeftOver is { } left ? tubes[left].Label : null, pairing.Total, pairing.Bound, pairing.IsProvenBest, without);

    private static void Write(CliContext context, Pairing pairing, TubeFigures[] tubes, IReadOnlyList<MatchQuantity> quantities, string[] without)
    {
        var terminal = context.Terminal;
        var table = new TextTable([("pair", false), ("", false), ("unlike by", true), .. quantities.Select(q => (q.Quantity, true))]);
        foreach (var pair in pairing.Pairs)
        {
            table.Row([
                tubes[pair.First].Label, tubes[pair.Second].Label, pair.Distance.ToString("0.00", CultureInfo.InvariantCulture),
                .. quantities.Select(q => Difference(tubes[pair.First].Figures[q.Quantity], tubes[pair.Second].Figures[q.Quantity])),
            ]);
        }
        foreach (var line in table.Lines(terminal.OutInk)) terminal.Line(line);
        terminal.Line("Unlike by: root mean square of the differences, each over its tolerance, or over the standard uncertainty of the difference where none was given.");
        terminal.Line(pairing.IsProvenBest ? "No other pairing has a smaller sum: proven." : $"Not proven the best: no pairing has a sum below {pairing.Bound.ToString("0.###", CultureInfo.InvariantCulture)}, this has {pairing.Total.ToString("0.###", CultureInfo.InvariantCulture)}.");
        if (pairing.LeftOver is { } left) terminal.Line($"Left over: {tubes[left].Label}.");
        if (without.Length > 0) terminal.Line($"Not measured in all of these: {string.Join(", ", without)}.");
    }

    private static string Difference(Figure one, Figure other)
    {
        var u = one.Uncertainty is { } a && other.Uncertainty is { } b ? Math.Sqrt(a * a + b * b) : (double?)null;
        return FigureText.Scaled(Figure.Of(one.Value!.Value - other.Value!.Value, one.Unit, u));
    }
}
