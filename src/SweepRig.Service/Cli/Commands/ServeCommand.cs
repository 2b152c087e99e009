using System.CommandLine;
using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Hosting;

namespace SweepRig.Service.Cli.Commands;

/// <summary>The service in the foreground.</summary>
public static class ServeCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "serve", "Serves a bench: the page, REST and the live feed, on this machine only. Ctrl+C makes the rig safe and ends.",
            new Example("sweeprig serve", "The simulated rig."),
            new Example("sweeprig serve --lot-seed 7 --lot-tube 14", "The simulated rig with tubes of a lot, some of them defective."),
            new Example("sweeprig serve --port /dev/ttyUSB0", "The rig on that port."),
            new Example("sweeprig serve --bus bench.json", "A rig on this computer's own I2C and SPI, wired as that file says."),
            new Example("sweeprig serve --rig left=/dev/ttyUSB0 --rig right=/dev/ttyUSB1 --rig spare=simulated", "Several rigs, each by its name."),
            new Example("sweeprig serve --store postgres", $"Runs and stock in the database that ${StoreArguments.ConnectionVariable} names, shared with other benches."),
            new Example("sweeprig serve --url http://127.0.0.1:0 --data /srv/tubes", "On any free port, runs kept elsewhere."));
        var (bench, rigs) = (new BenchArguments(), new RigsArguments());
        var (url, json) = (SharedOptions.ServeUrl(), SharedOptions.Json());
        var impostors = RoundCommand.Impostors();
        bench.AddTo(command);
        rigs.AddTo(command, bench);
        command.Add(impostors);
        command.Add(url);
        command.Add(json);
        command.SetAction((parsed, cancellation) =>
        {
            var read = bench.Read(parsed, context);
            if (!read.IsAccepted) return Task.FromResult(context.Tell(read.Refusals, parsed.GetValue(json), ExitCode.BadInput, bench.BusFile(parsed)));
            var several = rigs.Read(parsed, read.Value);
            if (!several.IsAccepted) return Task.FromResult(context.Tell(several.Refusals, parsed.GetValue(json), ExitCode.BadInput, rigs.File(parsed)));
            var options = several.Value with { Url = parsed.GetValue(url) ?? read.Value.Url, Impostors = parsed.GetValue(impostors) ?? 0 };
            return ServeAsync(context, options, parsed.GetValue(json), cancellation);
        });
        return command;
    }

    private static async Task<int> ServeAsync(CliContext context, BenchOptions options, bool json, CancellationToken cancellation)
    {
        var (port, hush) = (new PortWatch(), new Hush());
        await using var app = WebHost.Build(options, services =>
        {
            port.Around(services);
            hush.Over(services);
        });
        await app.StartBenchAsync(cancellation);
        try
        {
            foreach (var (rig, fault) in await port.ThrowIfShutAsync(context.Time, cancellation)) context.Terminal.Complain($"rig {rig.Name}: {fault} It is looked for further; the other rigs work.");
            if (json) CliJson.Write(context.Terminal, Serving.Of(app.BoundUrl(), options));
            else Announce(context, app, options);
            hush.End();
            await WaitAsync(app, cancellation);
        }
        finally
        {
            await app.StopAsync(CancellationToken.None);
        }
        if (cancellation.IsCancellationRequested) return ExitCode.Good;
        context.Terminal.Complain("The service ended by itself; the rig is safe. The lines above say why. Start it again.");
        return ExitCode.Failed;
    }

    /// <summary>Waits until the application stops or the command is to end.</summary>
    public static async Task WaitAsync(WebApplication app, CancellationToken cancellation)
    {
        var ended = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        await using var byApp = app.Lifetime.ApplicationStopping.Register(() => ended.TrySetResult());
        await using var byUser = cancellation.Register(() => ended.TrySetResult());
        await ended.Task;
    }

    private static void Announce(CliContext context, WebApplication app, BenchOptions options)
    {
        var terminal = context.Terminal;
        terminal.Line($"page  {terminal.OutInk.Strong(app.BoundUrl())}");
        var width = options.Choices.Max(r => r.Name.Length);
        foreach (var rig in options.Choices) terminal.Line(options.Rigs.Count > 0 ? $"rig   {rig.Name.PadRight(width)}  {rig.Words()}" : $"rig   {rig.Words()}{(rig.IsSimulated ? " (name a real one with --port or --bus)" : "")}");
        terminal.Line($"data  {options.DataDirectory}");
        if (options.Postgres is not null) terminal.Line($"store {options.Store.Name}");
        terminal.Line(options.Choices.Count > 1 ? "Ctrl+C makes all rigs safe and ends." : "Ctrl+C makes the rig safe and ends.");
    }

    /// <param name="Port">Of the first rig, as is <paramref name="BusRig"/>; all are in <paramref name="Rigs"/>.</param>
    private sealed record Serving(string Url, string? Port, string? BusRig, string DataDirectory, string Store, int ProcessId, ServedRig[] Rigs)
    {
        public static Serving Of(string url, BenchOptions options) => new(
            url, options.Choices[0].Port, options.Choices[0].Bus?.SerialNumber, options.DataDirectory, options.Store.Name, Environment.ProcessId,
            [.. options.Choices.Select(r => new ServedRig(r.Name, r.Words(), r.Port))]);
    }

    private sealed record ServedRig(string Name, string What, string? Port);
}
