using System.CommandLine;
using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Cli.Demonstration;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Nights;
using SweepRig.Sweeps.Planning;
using SweepRig.Sweeps.Studies;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Explores how far the grid of the tube in a socket may go positive.</summary>
public static class ExploreCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "explore", "Explores how far the grid may go positive: ceiling by ceiling under a permit, each followed by a sweep below 0 V that must be as before. Stops at the first limit, at fold-back, or when the tube has not recovered, and recommends a highest drive. Some minutes; every sweep is kept.",
            new Example("sweeprig explore --tube SKUA-014 --type 6AU6 --ceiling 24 --reason \"drive for the tide-clock\"", "In steps of 1 V, from 8 V on of 2 V."),
            new Example("sweeprig explore --tube SKUA-014 --ceiling 12 --step 0.5 --grid-current 0.002 --reason \"small stopper\"", "Finer, and up to 2 mA of grid current at most."),
            new Example("sweeprig explore --tube SKUA-014 --type 6AU6 --ceiling 24 --reason practice --defect poisons", "A simulated tube that does not bear it."));
        var ceiling = Bounded.Number("--ceiling", "V", "Highest drive to try; a permit up to it is granted for as long as it takes", 0, ExtraLowVoltage.Limit.Value, "V", "Ask for the highest drive that your circuit could put on the grid.", aboveMin: true);
        var reason = Bounded.Text("--reason", "TEXT", "Why the grid is to be driven positive; it is logged", 200, "Say in a few words why.");
        var step = Bounded.Number("--step", "V", "From ceiling to ceiling; twice that from the eighth step on (default: 1)", ExplorationSetup.LeastStepVolts, ExplorationSetup.MostStepVolts, "V", "Take 1.");
        var rest = Bounded.Number("--rest", "S", "Seconds that the tube is left alone before each sweep below 0 V (default: 5)", 0, 600, "s", "Take 5.");
        var gridCurrent = Bounded.Number("--grid-current", "A", "Grid current to stop at (default: 80 % of the rig's own limit)", 1e-6, 1, "A", "Give for example 0.002.");
        (ceiling.Required, reason.Required) = (true, true);
        var work = new TubeWork("an exploration", NightExamples.HowFar.Name);
        work.AddTo(command, [ceiling, reason, step, rest, gridCurrent]);
        command.SetAction((parsed, cancellation) => work.BeginAsync(context, parsed, at =>
        {
            var ratings = new CatalogueRatings(at.Bench.Types).Of(at.Tube.Tube.TypeName);
            var limits = ExplorationLimits.Of(at.Rig, ratings);
            if (parsed.GetValue(gridCurrent) is { } amps) limits = limits with { GridCurrent = new(amps) };
            var setup = new ExplorationSetup(Guid.CreateVersion7(context.Time.GetUtcNow()).ToString("N"), at.Tube.Tube, at.Socket, at.Connection, new(parsed.GetValue(ceiling)!.Value), limits)
            {
                StepVolts = parsed.GetValue(step) ?? 1,
                Rest = TimeSpan.FromSeconds(parsed.GetValue(rest) ?? 5),
                HeaterSpeed = at.Options.EffectiveHeaterSpeed,
            };
            var faults = setup.Faults(at.Rig, ratings);
            return faults.Count > 0
                ? Task.FromResult(context.Tell(faults, at.Json, ExitCode.BadInput))
                : new Session(context, at.Bench, at.Json).RunAsync(Exploration.Begin(at.Rig, setup), parsed.GetRequiredValue(reason)!, cancellation);
        }, cancellation));
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
