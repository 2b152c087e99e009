using System.CommandLine;
using System.Globalization;
using SweepRig.Domain.Quantities;
using SweepRig.Rigs.Simulated;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Cli.Commands;

/// <summary>The simulated rig on a pseudo-terminal, which any serial program can open.</summary>
public static class SimulateCommand
{
    private static readonly TimeSpan ReadEvery = TimeSpan.FromMilliseconds(50);

    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "simulate", "Puts the simulated rig on a pseudo-terminal until Ctrl+C, then tells what it did by its own record. Linux only.",
            new Example("sweeprig simulate --pty /tmp/rig", "Then, elsewhere: sweeprig serve --port /tmp/rig"),
            new Example("sweeprig simulate --pty /tmp/rig --tube 6BH6 --heater-speed 20 --journal rig.jsonl", "Another tube, quickly warm, every act of the rig written to a file."),
            new Example("sweeprig simulate --pty /tmp/rig --lot-seed 7 --lot-tube 14", "Tubes 14 to 17 of a lot of 60, some of them defective."),
            new Example("sweeprig simulate --pty /tmp/rig --defect gas", "A tube with something wrong; a line on standard input is a tap on its bulb."));
        var pty = new Option<string?>("--pty") { Description = "Where the link to the pseudo-terminal is made", HelpName = "PATH", Required = true };
        var heaterSpeed = SharedOptions.HeaterSpeed("1");
        var seed = SharedOptions.Seed();
        var tube = new Option<TubeType?>("--tube")
        {
            Description = $"Type of the tube in socket 0: {string.Join(", ", Types().Select(t => t.Name))} (default: a sound 6AU6)",
            HelpName = "TYPE",
            CustomParser = result =>
            {
                var name = result.Tokens[^1].Value;
                if (TypeCatalogue.BuiltIn.Find(name) is { Example: not null } type) return type;
                result.AddError($"--tube {name}: allowed is one of {string.Join(", ", Types().Select(t => t.Name))}. No other type can be simulated yet.");
                return null;
            },
        };
        var journal = new Option<string?>("--journal") { Description = "File for every act of the rig, one JSON object a line, written as it happens", HelpName = "FILE" };
        var json = SharedOptions.Json();
        command.Add(pty);
        command.Add(tube);
        var tubes = new TubeArguments();
        tubes.AddTo(command);
        command.Add(heaterSpeed);
        command.Add(seed);
        command.Add(journal);
        command.Add(json);
        command.SetAction((parsed, cancellation) =>
        {
            var options = new SimulatedRigOptions();
            if (parsed.GetValue(heaterSpeed) is { } speed) options = options with { HeaterSpeed = speed };
            if (parsed.GetValue(seed) is { } number) options = options with { Seed = number };
            options = tubes.Read(parsed, parsed.GetValue(tube)?.Example).Apply(options);
            return RunAsync(context, parsed.GetValue(pty)!, options, parsed.GetValue(journal), parsed.GetValue(json), cancellation);
        });
        return command;
    }

    private static async Task<int> RunAsync(CliContext context, string path, SimulatedRigOptions options, string? journal, bool json, CancellationToken cancellation)
    {
        PtyPort port;
        try
        {
            port = PtyPort.Open(path);
        }
        catch (IOException fault)
        {
            context.Terminal.Complain($"--pty {path}: {fault.Message}");
            return ExitCode.BadInput;
        }
        using var open = port;
        await using var lines = journal is null ? null : new StreamWriter(journal, append: false);
        await using var rig = new SimulatedRig(options, context.Time);
        var record = new RigRecord(rig.Journal, lines);
        if (!json) Announce(context, port, options);
        var serving = rig.ServeAsync(port.Stream, cancellation);
        // Not awaited: a terminal may never give another line, and the rig ends without it.
        _ = TapAsync(context.Input, rig, cancellation);
        while (!serving.IsCompleted)
        {
            await Task.WhenAny(serving, Task.Delay(ReadEvery, context.Time, CancellationToken.None));
            record.ReadOn();
        }
        await serving;
        record.ReadOn();
        var summary = record.Summary();
        if (json) CliJson.Write(context.Terminal, summary);
        else Write(context, summary);
        return ExitCode.Good;
    }

    /// <summary>Each line that comes in is a knock on the bulb.</summary>
    private static Task TapAsync(TextReader input, SimulatedRig rig, CancellationToken cancellation) => Task.Run(
        async () =>
        {
            while (await input.ReadLineAsync(cancellation) is not null) rig.Tap(TimeSpan.Zero, TimeSpan.Zero, 1);
        },
        cancellation);

    private static IEnumerable<TubeType> Types() => TypeCatalogue.BuiltIn.All.Where(t => t.Example is not null);

    private static void Announce(CliContext context, PtyPort port, SimulatedRigOptions options)
    {
        var terminal = context.Terminal;
        var speed = options.HeaterSpeed == 1 ? "" : string.Create(CultureInfo.InvariantCulture, $" --heater-speed {options.HeaterSpeed}");
        terminal.Line($"rig   {terminal.OutInk.Strong(port.Path)} (a link to {port.Device})");
        terminal.Line($"open  sweeprig serve --port {port.Path}{speed}");
        terminal.Line("Enter taps the bulb. Ctrl+C switches it off and tells what it did.");
    }

    private static void Write(CliContext context, RigSummary summary)
    {
        var terminal = context.Terminal;
        terminal.Line();
        terminal.Line($"ended          {(summary.EndedSafe ? "safe: grid at the most negative bias, plate rail off" : terminal.OutInk.Alarm("NOT SAFE: switched off with the drive or the plate rail on"))}, heater {(summary.HeaterOn ? "on" : "off")}");
        terminal.Line($"highest drive  {(summary.HighestDriveVolts is { } volts ? Engineering.Format(volts, "V") : "none was written")}");
        terminal.Line($"passes         {summary.Programs}");
        terminal.Line($"trips          {summary.Trips.Length}");
        foreach (var trip in summary.Trips) terminal.Line(string.Create(CultureInfo.InvariantCulture, $"  at {trip.AtSeconds:0.000} s: {trip.Title} ({trip.Cause})"));
        if (summary.MissedEntries > 0) terminal.Line($"{summary.MissedEntries} entries of the record came too fast and are not in this sum.");
    }
}
