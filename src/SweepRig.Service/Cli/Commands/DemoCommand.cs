using System.CommandLine;
using SweepRig.Service.Cli.Demonstration;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Hosting;

namespace SweepRig.Service.Cli.Commands;

/// <summary>The whole of it on a simulated rig.</summary>
public static class DemoCommand
{
    /// <summary>A cathode that needs 40 s in life is warm in a fifth of a second.</summary>
    private const double HeaterSpeed = 200;

    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "demo", "Shows it all on a simulated rig: sweeps a tube in pentode and in triode connection, tells the levels, screens a small lot and finds the counter stage of a tide-clock in it, goes on serving the page. Touches no real data.",
            new Example("sweeprig demo", "Open the page that it names; Ctrl+C ends."),
            new Example("sweeprig demo --once --json", "Ends when all is found and writes one JSON object."));
        var once = new Option<bool>("--once") { Description = "End when all is found" };
        var heaterSpeed = SharedOptions.HeaterSpeed($"{HeaterSpeed}");
        var seed = SharedOptions.Seed();
        var data = SharedOptions.DataOnly("a new temporary directory");
        var url = SharedOptions.ServeUrl();
        var json = SharedOptions.Json();
        command.Add(once);
        command.Add(heaterSpeed);
        command.Add(seed);
        command.Add(data);
        command.Add(url);
        command.Add(json);
        command.SetAction((parsed, cancellation) =>
        {
            var options = new BenchOptions
            {
                DataDirectory = parsed.GetValue(data) is { Length: > 0 } asked ? Path.GetFullPath(asked) : Directory.CreateTempSubdirectory("sweeprig-demo-").FullName,
                HeaterSpeed = parsed.GetValue(heaterSpeed) ?? HeaterSpeed,
                Seed = parsed.GetValue(seed) ?? 1,
                Url = parsed.GetValue(url) ?? FreePort.UsualUrlOrAnyFree(),
            };
            var demo = new Demo(context, options, parsed.GetValue(json));
            return parsed.GetValue(once) ? demo.OnceAsync(cancellation) : demo.ServeAsync(cancellation);
        });
        return command;
    }
}
