using System.CommandLine;
using SweepRig.Analysis.Health;
using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;
using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Cli.Commands.Stock;
using SweepRig.Service.Cli.Demonstration;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Stock;
using SweepRig.Sweeps.Screening;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Screens the tube in a socket: does it work at all, and what speaks against it.</summary>
public static class ScreenCommand
{
    private const int MaxSockets = 8;
    private const string DefaultPlan = "gentle-pentode";

    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "screen", "Screens a tube: shorts, leakage, reverse grid current at this rail, emission, warm-up, noise, hum, ringing, drift. Some five minutes from cold, never above 0 V drive; every step is kept as a run.",
            new Example("sweeprig screen --tube SKUA-014 --type 6AU6", "On the simulated rig; it taps its bulb by itself."),
            new Example("sweeprig screen --tube SKUA-014 --type 6AU6 --port /dev/ttyUSB0", "On a rig; tap the bulb when told."),
            new Example("sweeprig screen --tube SKUA-014 --type 6AU6 --defect gas --json", "A simulated tube with something wrong, told as JSON."));
        var label = Bounded.Text("--tube", "LABEL", "The number written on the tube, for example SKUA-014; SKUA-014/2 is its second section", 80, "Give the number written on the tube.");
        var type = Bounded.Text("--type", "TYPE", "The type printed on it, for example 6AU6 (default: as the stock has it)", 80, "Give the type printed on the tube.");
        var lot = Bounded.Text("--lot", "LOT", "The lot it was bought with (default: as the stock has it)", 80, "Give the lot, or leave it out.");
        var socket = Bounded.Whole("--socket", "N", "Socket it is in, from 0 (default: 0)", 0, MaxSockets - 1, "", "Count the sockets of the rig from 0.");
        var plan = Bounded.Text("--plan", "PLAN", $"Plan whose connection is used: rail, heater, resistors (default: {DefaultPlan})", 4096, "Give a plan file, or an example by name.");
        var noTaps = new Option<bool>("--no-taps") { Description = "Nobody taps the bulb: microphony is left out" };
        var bench = new BenchArguments();
        var json = SharedOptions.Json();
        label.Required = true;
        foreach (var option in new Option[] { label, type, lot, socket, plan, noTaps }) command.Add(option);
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
                context.Terminal.Complain($"The service at {service.Url} (process {service.ProcessId}) has the rig, and a screening needs it for itself. End that service, or name another --data.");
                return ExitCode.Failed;
            }
            var stocked = await StockedTubes.ReadAsync(context, settings.Value.DataDirectory, parsed.GetRequiredValue(label)!, parsed.GetValue(type), parsed.GetValue(lot), cancellation);
            if (!stocked.IsAccepted) return context.Tell(stocked.Refusals, asJson, ExitCode.BadInput);
            var setup = new ScreeningSetup(Guid.CreateVersion7(context.Time.GetUtcNow()).ToString("N"), stocked.Value.Tube, parsed.GetValue(socket) ?? 0, read.Value.Connection)
            {
                Taps = !parsed.GetValue(noTaps),
                HeaterSpeed = settings.Value.EffectiveHeaterSpeed,
            };
            await using var where = await LocalBench.StartAsync(settings.Value, cancellation);
            return await RunAsync(context, where, setup, stocked.Value, asJson, cancellation);
        });
        return command;
    }

    private static async Task<int> RunAsync(CliContext context, LocalBench bench, ScreeningSetup setup, StockedTube stocked, bool json, CancellationToken cancellation)
    {
        await bench.UntilConnectedAsync(context.Time, cancellation);
        var state = bench.Runner.State;
        if (state.Identity is not { } rig)
        {
            var why = state.LinkFault is { } fault ? $"{state.RigName} is not connected: {fault.TrimEnd('.')}" : $"{state.RigName} is not connected yet";
            return context.Tell([new Refusal("rig-not-connected", "", "a screening was asked for", why, "Check its cable and power, then try again.")], json, ExitCode.Refused);
        }
        var procedure = ScreeningProcedure.Begin(rig, setup);
        var progress = context.Terminal.Error;
        progress.WriteLine(DemoScenario.Cautions);
        if (setup.HeaterSpeed > 1)
            progress.WriteLine(FormattableString.Invariant($"simulated heaters warm {setup.HeaterSpeed:0.##} times faster than life: times are shorter by that, and too short for the drift; --heater-speed 1 is as in life"));
        foreach (var left in procedure.LeftOut) progress.WriteLine($"left out: {left}");
        var screener = new Screener(bench.Runner, bench.BlocksAsync);
        var done = await screener.RunAsync(procedure, (at, step) => Begins(progress, bench, at, step), cancellation);
        if (!done.IsAccepted) return context.Tell(done.Refusals, json, ExitCode.Refused);
        if (done.Value.EndedEarly is { } ended) progress.WriteLine($"ended early: {ended}");
        var report = HealthView.Of(HealthFinder.Find(done.Value.Runs));
        if (json) CliJson.Write(context.Terminal, report);
        else context.Terminal.Lines(HealthText.Lines(report, context.Terminal.OutInk));
        if (done.Value.Runs.Any(r => r.State != RunState.Complete)) return ExitCode.Refused;
        if (stocked.Known is not null) await StockedTubes.KeepScreeningAsync(context, bench.Store, setup.Tube, report, CancellationToken.None);
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
