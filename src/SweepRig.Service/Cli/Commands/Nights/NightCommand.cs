using System.CommandLine;
using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Commands.Nights;

/// <summary>Unattended work: at the running service of the data directory, else, where that makes sense, on a bench of its own.</summary>
public static class NightCommand
{
    /// <summary>For whoever leaves a bench running.</summary>
    public const string Cautions =
        "Unattended: both fuses in, nothing that burns near hot bulbs or the supply, the emergency stop wired, and what your local rules say of equipment left running. The interlocks protect tubes, not people or buildings.";

    public static Command Build(CliContext context) => new ExampledCommand(
        "night", "Unattended work of a rig: a document says what is in which socket, what is done to it, when and within which limits. The service does it, survives restarts, and waits for you where it must.",
        new Example("sweeprig night plan drift-overnight", "How an example would go: times, heater and rail load; nothing is begun."),
        new Example("sweeprig night start tonight.json", "Begin it at the running service."),
        new Example("sweeprig night show", "Where it stands."))
    {
        Check(context),
        Plan(context),
        Start(context),
        Show(context),
        Hold(context),
        GoOn(context),
        Skip(context),
        End(context),
    };

    private static ExampledCommand Check(CliContext context)
    {
        var command = new ExampledCommand("check", "Holds a night against stock, rig and clock, and tells every fault. Nothing is begun.", new Example("sweeprig night check tonight.json", "Every fault with its place in the document."));
        Planned(command, context, (plan, _) => NightPlanText.Summary(plan));
        return command;
    }

    private static ExampledCommand Plan(CliContext context)
    {
        var command = new ExampledCommand(
            "plan", "Tells how a night would go: begin and end of every step, heater on-time, heater and rail load, charge, and what would not be reached. Nothing is begun.",
            new Example("sweeprig night plan tonight.json", "The timeline, in the night's own time zone."),
            new Example("sweeprig night plan tonight.json --json", "The same for a program, times in UTC."));
        var all = new Option<bool>("--all") { Description = "Every step (default: the first 40)" };
        command.Add(all);
        Planned(command, context, (plan, parsed) => NightPlanText.Lines(plan, context.Terminal.OutInk, parsed.GetValue(all), context.Terminal.Width));
        return command;
    }

    private static void Planned(Command command, CliContext context, Func<NightPlanView, ParseResult, IEnumerable<string>> lines) => WithDocument(command, context, async (bench, document, parsed, told) =>
    {
        var plan = await bench.PlanNightAsync(document, told.Cancellation);
        if (!plan.IsAccepted) return told.Refused(plan.Refusals);
        if (told.Json) CliJson.Write(context.Terminal, plan.Value);
        else context.Terminal.Lines(lines(plan.Value, parsed));
        return ExitCode.Good;
    });

    private static ExampledCommand Start(CliContext context)
    {
        var command = new ExampledCommand(
            "start", "Begins a night at the running service. Without one it is done on a bench of this process, which then stays until the night is over.",
            new Example("sweeprig night start tonight.json", "At the service; this command ends at once and the night goes on."),
            new Example("sweeprig night start drift-overnight --heater-speed 1000", "Without a service: on the simulated rig, whose heaters are warm at once."));
        WithDocument(command, context, async (bench, document, _, told) =>
        {
            context.Terminal.Error.WriteLine(Cautions);
            var begun = await bench.BeginNightAsync(document, told.Cancellation);
            if (!begun.IsAccepted) return told.Refused(begun.Refusals);
            var night = bench is LocalBench ? await NightFollower.FollowAsync(context, bench, told.Cancellation) : begun.Value;
            if (told.Json) CliJson.Write(context.Terminal, night);
            else context.Terminal.Lines(NightStateText.Lines(night, context.Terminal.OutInk));
            return ExitCode.Good;
        });
        return command;
    }

    private static ExampledCommand Show(CliContext context)
    {
        var command = new ExampledCommand("show", "Tells where the night of the running service stands: what it does, what came of it, what of its limits was used.", new Example("sweeprig night show", "Now."));
        Ask(command, context, async (bench, json, _, cancellation) =>
        {
            var night = await bench.NightAsync(cancellation);
            if (json) CliJson.Write(context.Terminal, new NightStatusView(night));
            else if (night is null) context.Terminal.Line("No night since the service started. Begin one: sweeprig night start FILE.");
            else context.Terminal.Lines(NightStateText.Lines(night, context.Terminal.OutInk));
            return ExitCode.Good;
        });
        return command;
    }

    private static ExampledCommand Hold(CliContext context)
    {
        var command = new ExampledCommand("hold", "Nothing more is begun until it goes on. The step under way is done to its end.", new Example("sweeprig night hold --reason \"somebody works at the bench\"", "Until sweeprig night go-on."));
        var reason = Bounded.Text("--reason", "TEXT", "Why; it is shown", 200, "Say it in a few words.");
        command.Add(reason);
        Ask(command, context, async (bench, json, parsed, cancellation) => context.Answer(await bench.HoldNightAsync(parsed.GetValue(reason) ?? "asked for on the command line", cancellation), json, n => $"Held. {Doing(n)} Go on with sweeprig night go-on."));
        return command;
    }

    private static ExampledCommand GoOn(CliContext context)
    {
        var command = new ExampledCommand("go-on", "Lets a night that is held go on. A trip is acknowledged first, once its cause is gone.", new Example("sweeprig night go-on", "After you have seen why it was held."));
        Ask(command, context, async (bench, json, _, cancellation) => context.Answer(await bench.GoOnWithNightAsync(cancellation), json, n => $"It goes on. {Doing(n)}"));
        return command;
    }

    private static ExampledCommand Skip(CliContext context)
    {
        var command = new ExampledCommand("skip", "Nothing more of a job is begun.", new Example("sweeprig night skip hourly", "Leave out what is left of that job."));
        var job = new Argument<string>("JOB") { Description = "Name of the job, as in its document" };
        command.Add(job);
        Ask(command, context, async (bench, json, parsed, cancellation) => context.Answer(await bench.SkipNightJobAsync(parsed.GetRequiredValue(job), cancellation), json, _ => "Skipped: nothing more of it is begun."));
        return command;
    }

    private static ExampledCommand End(CliContext context)
    {
        var command = new ExampledCommand("end", "Ends the night: the step under way is broken off, the heaters go off. What was recorded stays.", new Example("sweeprig night end", "For good; begin another to go on."));
        Ask(command, context, async (bench, json, _, cancellation) => context.Answer(await bench.EndNightAsync(cancellation), json, _ => "Ended. What was recorded stays; bulbs are hot for a while."));
        return command;
    }

    private static void Ask(Command command, CliContext context, Func<RemoteBench, bool, ParseResult, CancellationToken, Task<int>> act)
    {
        var (rig, json, data, url) = (SharedOptions.Rig(), SharedOptions.Json(), SharedOptions.DataOnly(), SharedOptions.ServiceUrl());
        foreach (var option in new Option[] { rig, data, url, json }) command.Add(option);
        command.SetAction((parsed, cancellation) => ServiceDoor.EnterAtRigAsync(
            context, parsed.GetValue(url), parsed.GetValue(data), parsed.GetValue(rig), bench => act(bench, parsed.GetValue(json), parsed, cancellation), cancellation));
    }

    /// <summary>Does something with the night that a command names, at the service or on a bench of this process.</summary>
    private static void WithDocument(Command command, CliContext context, Func<IBench, JsonElement, ParseResult, Answer, Task<int>> act)
    {
        var file = new Argument<string>("FILE") { Description = "The night: a file, - for standard input, or an example by name" };
        var bench = new BenchArguments();
        var (rig, json) = (SharedOptions.Rig(), SharedOptions.Json());
        command.Add(file);
        bench.AddTo(command);
        command.Add(rig);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var (asked, asJson) = (parsed.GetRequiredValue(file), parsed.GetValue(json));
            var read = await NightSource.ReadAsync(asked, context.Input, cancellation);
            if (!read.IsAccepted) return context.Tell(read.Refusals, asJson, ExitCode.BadInput, asked);
            var settings = bench.Read(parsed, context);
            if (!settings.IsAccepted) return context.Tell(settings.Refusals, asJson, ExitCode.BadInput, bench.BusFile(parsed));
            await using var where = await BenchDoor.OpenAsync(context, settings.Value, bench.GivenAboutRig(parsed), parsed.GetValue(rig), cancellation);
            return where is null ? ExitCode.BadInput : await act(where, read.Value.Document, parsed, new(context, asked, asJson, cancellation));
        });
    }

    private static string Doing(NightView night) => night.State == "working" ? $"Under way: {night.Doing}." : "";

    /// <summary>How a command with a document answers.</summary>
    /// <param name="Asked">Name of the document.</param>
    private sealed record Answer(CliContext Context, string Asked, bool Json, CancellationToken Cancellation)
    {
        /// <summary>Paths of the request are told as paths of the document that it carries.</summary>
        public int Refused(IReadOnlyList<Refusal> refusals) => Context.Tell(
            [.. refusals.Select(r => r.Path.StartsWith("/document", StringComparison.Ordinal) ? r with { Path = r.Path["/document".Length..] } : r)],
            Json, refusals.Any(r => r.Path.Length > 0) ? ExitCode.BadInput : ExitCode.Refused, Asked);
    }
}
