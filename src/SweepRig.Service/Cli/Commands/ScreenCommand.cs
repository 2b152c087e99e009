using System.CommandLine;
using SweepRig.Analysis.Health;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;
using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Cli.Commands.Stock;
using SweepRig.Service.Cli.Demonstration;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Nights;
using SweepRig.Sweeps.Screening;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Screens the tube in a socket: does it work at all, and what speaks against it.</summary>
public static class ScreenCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "screen", "Screens a tube: shorts, leakage, reverse grid current at this rail, emission, warm-up, noise, hum, ringing, drift. Some five minutes from cold, never above 0 V drive; every step is kept as a run.",
            new Example("sweeprig screen --tube SKUA-014 --type 6AU6", "On the simulated rig; it taps its bulb by itself."),
            new Example("sweeprig screen --tube SKUA-014 --type 6AU6 --port /dev/ttyUSB0", "On a rig; tap the bulb when told."),
            new Example("sweeprig screen --tube SKUA-014 --type 6AU6 --defect gas --json", "A simulated tube with something wrong, told as JSON."));
        var noTaps = new Option<bool>("--no-taps") { Description = "Nobody taps the bulb: microphony is left out" };
        var work = new TubeWork("a screening", NightExamples.Drift.Name);
        work.AddTo(command, [noTaps]);
        command.SetAction((parsed, cancellation) => work.BeginAsync(context, parsed, at => RunAsync(context, at, taps: !parsed.GetValue(noTaps), cancellation), cancellation));
        return command;
    }

    private static async Task<int> RunAsync(CliContext context, TubeAtBench at, bool taps, CancellationToken cancellation)
    {
        var (bench, json) = (at.Bench, at.Json);
        var setup = new ScreeningSetup(Guid.CreateVersion7(context.Time.GetUtcNow()).ToString("N"), at.Tube.Tube, at.Socket, at.Connection)
        {
            Taps = taps,
            HeaterSpeed = at.Options.EffectiveHeaterSpeed,
        };
        var procedure = ScreeningProcedure.Begin(at.Rig, setup);
        var progress = context.Terminal.Error;
        progress.WriteLine(DemoScenario.Cautions);
        if (setup.HeaterSpeed > 1)
            progress.WriteLine(FormattableString.Invariant($"simulated heaters warm {setup.HeaterSpeed:0.##} times faster than life: times are shorter by that, and too short for the drift; --heater-speed 1 is as in life"));
        foreach (var left in procedure.LeftOut) progress.WriteLine($"left out: {left}");
        var screener = new Screener(bench.Runner, bench.BlocksAsync);
        var done = await screener.RunAsync(procedure, (reached, step) => Begins(progress, bench, reached, step), cancellation);
        if (!done.IsAccepted) return context.Tell(done.Refusals, json, ExitCode.Refused);
        if (done.Value.EndedEarly is { } ended) progress.WriteLine($"ended early: {ended}");
        var report = HealthView.Of(HealthFinder.Find(done.Value.Runs));
        if (json) CliJson.Write(context.Terminal, report);
        else context.Terminal.Lines(HealthText.Lines(report, context.Terminal.OutInk));
        if (done.Value.Runs.Any(r => r.State != RunState.Complete)) return ExitCode.Refused;
        if (at.Tube.Known is not null) await StockedTubes.KeepScreeningAsync(context, bench.Store, setup.Tube, report, CancellationToken.None);
        return ExitCode.Good;
    }

    private static void Begins(TextWriter progress, LocalBench bench, ScreeningProcedure at, ScreeningStep step)
    {
        var seconds = step.Points * (step.DwellMicroseconds + 5e0 * step.Conversions * at.Rig.ConversionMicroseconds) * 1e-6;
        progress.WriteLine(FormattableString.Invariant($"{at.Runs.Count + 1} of {at.Program.Count}  {step.Title}, about {Math.Max(1, seconds):0} s"));
        if (step.Kind != ScreeningStepKind.Tapped) return;
        if (bench.Simulated is { } simulated)
        {
            simulated.Tap(TimeSpan.FromSeconds(1.5), TimeSpan.FromSeconds(1.1), 4);
            progress.WriteLine("        the simulated bulb is tapped");
        }
        else
        {
            progress.WriteLine("        TAP THE BULB NOW, gently, once a second, with the rubber end of a pencil (it is hot)");
        }
    }
}
