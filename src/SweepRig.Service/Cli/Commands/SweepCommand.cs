using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Sweeping;
using SweepRig.Service.Contract;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Runs a plan on one tube: at the running service of the data directory, else on a bench of its own.</summary>
public static class SweepCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "sweep", "Runs a sweep plan on one tube and tells its levels. Goes through the running service of the data directory, or works by itself when there is none.",
            new Example("sweeprig sweep gentle-pentode --tube SKUA-014 --type 6AU6 --lot Skua", "An example plan; it stays below 0 V and needs no permit."),
            new Example("sweeprig sweep plan.json --tube SKUA-014 --type 6AU6 --permit-ceiling 24 --permit-minutes 2 --permit-reason \"fold-back\"", "A plan of your own that goes positive."),
            new Example("sweeprig sweep gentle-pentode --tube SKUA-014 --type 6AU6 --adaptive 0.001", "Points go where they tell most about the switching point, until it is known to 1 mV."),
            new Example("sweeprig sweep gentle-pentode --tube SKUA-014", "Of a tube in the stock, which knows its type and lot."),
            new Example("sweeprig sweep gentle-pentode --bus bench.json --tube SKUA-014 --type 6AU6", "By itself, with the rig on this computer's own I2C and SPI."));
        var plan = new Argument<string>("PLAN") { Description = $"Plan file (JSON), - for standard input, or an example: {string.Join(", ", PlanExamples.All.Select(e => e.Name))}" };
        var tube = new TubeAtSocket();
        var adaptive = Bounded.Number(
            "--adaptive", "V", "Points go where they tell most about the switching point, until its standard uncertainty is this or the points are used up", AdaptiveRule.LeastVolts, AdaptiveRule.MostVolts, "V", "Give for example 0.001.");
        var most = Bounded.Whole(
            "--most-points", "N", "With --adaptive: points at most (default: those of the plan)", AdaptiveRule.DefaultFirst + 1, AdaptiveRule.MostPoints, "", "Give as many as the sweep may take in all.");
        var permit = new PermitOptions("permit-");
        var bench = new BenchArguments();
        var rig = SharedOptions.Rig();
        var json = SharedOptions.Json();
        command.Add(plan);
        tube.AddTo(command);
        command.Add(adaptive);
        command.Add(most);
        permit.AddTo(command);
        bench.AddTo(command);
        command.Add(rig);
        command.Add(json);
        command.Validators.Add(result =>
        {
            var missing = permit.Missing(o => result.GetResult(o) is not null);
            if (result.GetResult(most) is not null && result.GetResult(adaptive) is null) result.AddError("--most-points without --adaptive: a plan states its points itself. Add --adaptive V, or leave it out.");
            if (missing.Count > 0 && missing.Count < permit.Options.Count) result.AddError($"{string.Join(", ", missing)} missing: a permit needs --permit-ceiling, --permit-minutes and --permit-reason.");
        });
        command.SetAction(async (parsed, cancellation) =>
        {
            var asked = parsed.GetRequiredValue(plan);
            var read = await PlanSource.ReadAsync(asked, context.Input, cancellation);
            if (!read.IsAccepted) return context.Tell(read.Refusals, parsed.GetValue(json), ExitCode.BadInput, asked);
            var stocked = await tube.ReadAsync(parsed, context, parsed.GetValue(bench.Data), cancellation);
            if (!stocked.IsAccepted) return context.Tell(stocked.Refusals, parsed.GetValue(json), ExitCode.BadInput);
            var made = parsed.GetValue(adaptive) is { } wanted ? Adaptive(read.Value, wanted, parsed.GetValue(most)) : read;
            if (!made.IsAccepted) return context.Tell(made.Refusals, parsed.GetValue(json), ExitCode.BadInput, asked);
            var request = new SweepRequest(made.Value, stocked.Value.Tube, tube.Socket(parsed));

            var settings = bench.Read(parsed, context);
            if (!settings.IsAccepted) return context.Tell(settings.Refusals, parsed.GetValue(json), ExitCode.BadInput, bench.BusFile(parsed));
            await using var where = await BenchDoor.OpenAsync(context, settings.Value, bench.GivenAboutRig(parsed), parsed.GetValue(rig), cancellation);
            if (where is null) return ExitCode.BadInput;
            var session = new Session(context, where, asked, parsed.GetValue(json));
            return await session.RunAsync(request, permit.AnyGiven(parsed) ? permit.Read(parsed) : null, cancellation);
        });
        return command;
    }

    private static Outcome<SweepPlan> Adaptive(SweepPlan plan, double wanted, int? most)
    {
        if (plan.SecondSource is not null)
        {
            return Outcome<SweepPlan>.Refuse(new Refusal(
                "adaptive-not-alone", "/secondSource", "--adaptive with a plan that steps a second source", "an adaptive sweep steps none", "Take \"secondSource\" out of the plan, or leave --adaptive out."));
        }
        return Outcome<SweepPlan>.Accept(plan with
        {
            Points = most ?? Math.Clamp(plan.Points, AdaptiveRule.DefaultFirst + 1, AdaptiveRule.MostPoints),
            Direction = SweepDirection.Up,
            Repeats = 1,
            Adaptive = new(new(wanted), AdaptiveRule.DefaultFirst, AdaptiveRule.DefaultBatch),
        });
    }

    private sealed class Session(CliContext context, IBench bench, string planName, bool json)
    {
        public async Task<int> RunAsync(SweepRequest request, PermitRequest? permit, CancellationToken cancellation)
        {
            if (permit is not null)
            {
                var granted = await bench.GrantPermitAsync(permit, cancellation);
                if (!granted.IsAccepted) return context.Tell(granted.Refusals, json, ExitCode.Refused);
            }
            try
            {
                var started = await bench.StartAsync(request, cancellation);
                if (!started.IsAccepted) return context.Tell(started.Refusals, json, ExitCode.Refused, planName);
                var ended = await new SweepWatch(bench, TerminalDisplay.For(context.Terminal), context.Time).FollowAsync(started.Value, cancellation);
                return await ReportAsync(ended);
            }
            finally
            {
                // Granted for this sweep alone. When it has ended by itself meanwhile, there is nothing left to end.
                if (permit is not null) await bench.EndPermitAsync(CancellationToken.None);
            }
        }

        private async Task<int> ReportAsync(RunView ended)
        {
            var report = await SweepReport.OfAsync(bench, ended, CancellationToken.None);
            if (json) CliJson.Write(context.Terminal, new { report.Run, report.Levels });
            else report.Write(context.Terminal);
            foreach (var fault in report.Faults()) context.Terminal.Complain(fault);
            return report.ExitCode;
        }
    }
}
