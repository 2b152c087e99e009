using System.CommandLine;
using SweepRig.Domain.Stock;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rounds;
using SweepRig.Tubes.Lots;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Many tubes over the sockets of the rig: at the running service of the data directory, else on a bench of its own.</summary>
public static class RoundCommand
{
    private const int LongestHandling = 600;

    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "round", "Sweeps many tubes over the sockets of the rig: all heaters are on together, so that tubes get warm while another is swept. Says which tube goes where, takes numbers from keyboard or scanner, keeps each verdict in the stock at once. Begun anew it goes on with the tubes that are still new.",
            new Example("sweeprig round --lot Skua", "All new tubes of a lot, over all sockets."),
            new Example("sweeprig round SKUA-014 SKUA-020 --sockets 0,1", "These two once more."),
            new Example("sweeprig round --lot Skua --practice-hands 4", "On the simulated rig, whose hands need 4 s for a tube."));
        var tubes = new Argument<string[]>("TUBE") { Description = "Numbers of tubes, screened before or not (default: all that are new)", Arity = ArgumentArity.ZeroOrMore };
        var lot = Bounded.Text("--lot", "LOT", "Only tubes of this lot", Lot.LongestName, "Give its name, as in sweeprig stock list --lots.");
        var plan = new PlanOption("Plan made of each tube: a file, - for standard input, or an example");
        var sockets = Sockets();
        var hands = Bounded.Number("--practice-hands", "S", "Nobody is there: the hands of the simulated rig do what is asked, each tube in so many seconds", 0, LongestHandling, "s", "Give for example 4.");
        var impostors = Impostors();
        var bench = new BenchArguments();
        var rig = SharedOptions.Rig();
        var json = SharedOptions.Json();
        command.Add(tubes);
        command.Add(lot);
        plan.AddTo(command);
        foreach (var option in new Option[] { sockets, hands, impostors }) command.Add(option);
        bench.AddTo(command);
        command.Add(rig);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            var read = await plan.ReadAsync(parsed, context, cancellation);
            if (!read.IsAccepted) return context.Tell(read.Refusals, asJson, ExitCode.BadInput, plan.Name(parsed));
            var settings = bench.Read(parsed, context);
            if (!settings.IsAccepted) return context.Tell(settings.Refusals, asJson, ExitCode.BadInput, bench.BusFile(parsed));
            var options = settings.Value with { Impostors = parsed.GetValue(impostors) ?? 0 };
            var aboutRig = bench.GivenAboutRig(parsed) ?? (parsed.GetResult(impostors) is null ? null : impostors);
            await using var where = await BenchDoor.OpenAsync(context, options, aboutRig, parsed.GetValue(rig), cancellation);
            if (where is null) return ExitCode.BadInput;
            IHandWords words = parsed.GetValue(hands) is { } seconds ? new PracticeHands(context.Time, TimeSpan.FromSeconds(seconds)) : new TypedWords(context.Input);
            string[] labels = [.. (parsed.GetValue(tubes) ?? []).Select(t => t.Trim().ToUpperInvariant())];
            return await new GuidedRound(context, where, words, asJson).RunAsync(read.Value, parsed.GetValue(lot), labels, parsed.GetValue(sockets) ?? [], cancellation);
        });
        return command;
    }

    public static Option<int?> Impostors() => Bounded.Whole(
        "--impostors", "N", $"Of each {TubeBox.Together} simulated tubes of the stock, so many are of another type than is written on them (default: 0)", 0, TubeBox.Together, "", "Leave it out for none.");

    private static Option<int[]?> Sockets() => new("--sockets")
    {
        Description = "Sockets to use, from 0, with commas between (default: all)",
        HelpName = "N,N",
        CustomParser = result =>
        {
            var text = result.Tokens[^1].Value;
            var parts = text.Split(',', StringSplitOptions.TrimEntries);
            if (parts.All(p => int.TryParse(p, System.Globalization.NumberStyles.None, System.Globalization.CultureInfo.InvariantCulture, out var n) && n < TubeAtSocket.MaxSockets))
                return [.. parts.Select(p => int.Parse(p, System.Globalization.CultureInfo.InvariantCulture))];
            result.AddError($"--sockets {text}: allowed are numbers from 0 to {TubeAtSocket.MaxSockets - 1} with commas between. Say for example 0,1,2,3, or leave it out for all.");
            return null;
        },
    };
}
