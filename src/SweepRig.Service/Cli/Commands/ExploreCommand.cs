using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Cli.Commands.Stock;
using SweepRig.Service.Cli.Demonstration;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Sweeps.Planning;
using SweepRig.Sweeps.Studies;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Explores how far the grid of the tube in a socket may go positive.</summary>
public static class ExploreCommand
{
    private const int MaxSockets = 8;
    private const string DefaultPlan = "gentle-pentode";

    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "explore", "Explores how far the grid may go positive: ceiling by ceiling under a permit, each followed by a sweep below 0 V that must be as before. Stops at the first limit, at fold-back, or when the tube has not recovered, and recommends a highest drive. Some minutes; every sweep is kept.",
            new Example("sweeprig explore --tube SKUA-014 --type 6AU6 --ceiling 24 --reason \"drive for the tide-clock\"", "In steps of 1 V, from 8 V on of 2 V."),
            new Example("sweeprig explore --tube SKUA-014 --ceiling 12 --step 0.5 --grid-current 0.002 --reason \"small stopper\"", "Finer, and up to 2 mA of grid current at most."),
            new Example("sweeprig explore --tube SKUA-014 --type 6AU6 --ceiling 24 --reason practice --defect poisons", "A simulated tube that does not bear it."));
        var label = Bounded.Text("--tube", "LABEL", "The number written on the tube, for example SKUA-014; SKUA-014/2 is its second section", 80, "Give the number written on the tube.");
        var type = Bounded.Text("--type", "TYPE", "The type printed on it, for example 6AU6 (default: as the stock has it)", 80, "Give the type printed on the tube.");
        var lot = Bounded.Text("--lot", "LOT", "The lot it was bought with (default: as the stock has it)", 80, "Give the lot, or leave it out.");
        var socket = Bounded.Whole("--socket", "N", "Socket it is in, from 0 (default: 0)", 0, MaxSockets - 1, "", "Count the sockets of the rig from 0.");
        var plan = Bounded.Text("--plan", "PLAN", $"Plan whose connection is used: rail, heater, resistors (default: {DefaultPlan})", 4096, "Give a plan file, or an example by name.");
        var ceiling = Bounded.Number("--ceiling", "V", "Highest drive to try; a permit up to it is granted for as long as it takes", 0, ExtraLowVoltage.Limit.Value, "V", "Ask for the highest drive that your circuit could put on the grid.", aboveMin: true);
        var reason = Bounded.Text("--reason", "TEXT", "Why the grid is to be driven positive; it is logged", 200, "Say in a few words why.");
        var step = Bounded.Number("--step", "V", "From ceiling to ceiling; twice that from the eighth step on (default: 1)", ExplorationSetup.LeastStepVolts, ExplorationSetup.MostStepVolts, "V", "Take 1.");
        var rest = Bounded.Number("--rest", "S", "Seconds that the tube is left alone before each sweep below 0 V (default: 5)", 0, 600, "s", "Take 5.");
        var gridCurrent = Bounded.Number("--grid-current", "A", "Grid current to stop at (default: 80 % of the rig's own limit)", 1e-6, 1, "A", "Give for example 0.002.");
        var bench = new BenchArguments();
        var json = SharedOptions.Json();
        (label.Required, ceiling.Required, reason.Required) = (true, true, true);
        foreach (var option in new Option[] { label, type, lot, socket, plan, ceiling, reason, step, rest, gridCurrent }) command.Add(option);
        bench.AddTo(command);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var asJson = parsed.GetValue(json);
            var asked = parsed.GetValue(plan) ?? DefaultPlan;
            var read = await PlanSource.ReadAsync(asked, context.Input, cancellation);
            if (!read.IsAccepted) return context.Tell(read.Refusals, asJson, ExitCode.BadInput, asked);
            var settings = bench.Read(parsed, context);
            if (!settings.IsAccepted) return context.Tell(settings.Refusals, asJson, ExitCode.BadInput, bench.BusFile(parsed));
            if (RunningService.Find(settings.Value.DataDirectory) is { } service)
            {
                context.Terminal.Complain($"The service at {service.Url} (process {service.ProcessId}) has the rig, and an exploration needs it for itself. End that service, or name another --data.");
                return ExitCode.Failed;
            }
            var stocked = await StockedTubes.ReadAsync(context, settings.Value.DataDirectory, parsed.GetRequiredValue(label)!, parsed.GetValue(type), parsed.GetValue(lot), cancellation);
            if (!stocked.IsAccepted) return context.Tell(stocked.Refusals, asJson, ExitCode.BadInput);
            await using var where = await LocalBench.StartAsync(settings.Value, cancellation);
            await where.UntilConnectedAsync(context.Time, cancellation);
            if (where.Runner.State.Identity is not { } rig)
            {
                var state = where.Runner.State;
                var why = state.LinkFault is { } fault ? $"{state.RigName} is not connected: {fault.TrimEnd('.')}" : $"{state.RigName} is not connected yet";
                return context.Tell([new Refusal("rig-not-connected", "", "an exploration was asked for", why, "Check its cable and power, then try again.")], asJson, ExitCode.Refused);
            }
            var ratings = new CatalogueRatings(where.Types).Of(stocked.Value.Tube.TypeName);
            var limits = ExplorationLimits.Of(rig, ratings);
            if (parsed.GetValue(gridCurrent) is { } amps) limits = limits with { GridCurrent = new(amps) };
            var setup = new ExplorationSetup(
                Guid.CreateVersion7(context.Time.GetUtcNow()).ToString("N"), stocked.Value.Tube, parsed.GetValue(socket) ?? 0, read.Value.Connection, new(parsed.GetValue(ceiling)!.Value), limits)
            {
                StepVolts = parsed.GetValue(step) ?? 1,
                Rest = TimeSpan.FromSeconds(parsed.GetValue(rest) ?? 5),
                HeaterSpeed = settings.Value.EffectiveHeaterSpeed,
            };
            var faults = setup.Faults(rig, ratings);
            if (faults.Count > 0) return context.Tell(faults, asJson, ExitCode.BadInput);
            return await new Session(context, where, asJson).RunAsync(Exploration.Begin(rig, setup), parsed.GetRequiredValue(reason)!, cancellation);
        });
        return command;
    }

    private sealed class Session(CliContext context, LocalBench bench, bool json)
    {
        /// <summary>Of the longest that an exploration is expected to take.</summary>
        private const double PermitShare = 1.5;

        private bool _granted;

        public async Task<int> RunAsync(Exploration exploration, string reason, CancellationToken cancellation)
        {
            var progress = context.Terminal.Error;
            progress.WriteLine(DemoScenario.Cautions);
            progress.WriteLine(FormattableString.Invariant($"{exploration.Setup.Ceilings.Count} ceilings up to {exploration.Setup.Ceiling}, at most {exploration.Left.Time.TotalMinutes:0.#} min"));
            if (exploration.Setup.HeaterSpeed > 1) progress.WriteLine(FormattableString.Invariant($"simulated heaters warm {exploration.Setup.HeaterSpeed:0.##} times faster than life: warming takes less by that"));
            var startedUtc = context.Time.GetUtcNow();
            try
            {
                var conductor = new StudyConductor(bench.Runner, bench.BlocksAsync, (_, token) => PermitAsync(exploration, reason, token), context.Time);
                var done = await conductor.RunAsync(exploration, (at, act) => progress.WriteLine(Line(at, act)), cancellation);
                var view = StudyView.Of(done, startedUtc, [.. (await bench.Store.OfTubeAsync(exploration.Setup.Tube.Label, CancellationToken.None))
                    .Where(r => r.Header.Study?.StudyId == exploration.Setup.StudyId).Select(r => r.Header.Id).Order(StringComparer.Ordinal)]);
                if (json) CliJson.Write(context.Terminal, view);
                else context.Terminal.Lines([.. StudyText.Lines(view, context.Terminal.OutInk), .. view.Runs.Length > 0 ? (string[])[$"Shown again with: sweeprig runs study {view.Runs[^1]}"] : []]);
                return done.Findings.End is StudyEnd.Tripped or StudyEnd.Failed ? ExitCode.Refused : ExitCode.Good;
            }
            finally
            {
                // Granted for this exploration alone.
                if (_granted) await bench.EndPermitAsync(CancellationToken.None);
            }
        }

        private async Task<IReadOnlyList<Refusal>> PermitAsync(Exploration exploration, string reason, CancellationToken cancellation)
        {
            if (_granted) return [];
            var time = TimeSpan.FromMinutes(1) + PermitShare * exploration.Left.Time;
            var granted = await bench.Runner.GrantPermitAsync(exploration.Setup.Ceiling, time < Permit.MaxDuration ? time : Permit.MaxDuration, reason, cancellation);
            _granted = granted.IsAccepted;
            return granted.Refusals;
        }

        private static string Line(IStudy at, StudyAct act) => act is StudyAct.WaitUntil wait
            ? FormattableString.Invariant($"  {act.Title}, {Math.Max(0, (wait.SinceBegin - at.Elapsed).TotalSeconds):0.#} s")
            : $"  {act.Title}";
    }
}
