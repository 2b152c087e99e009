using System.CommandLine;
using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Grants or ends the permit for positive drive at a running service.</summary>
public static class PermitCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "permit", "Permits positive drive up to a ceiling, for a while, for a stated reason. It is logged, ends by itself and dies with the service.",
            new Example("sweeprig permit --ceiling 24 --minutes 5 --reason \"fold-back of lot Skua\"", "Sweeps may go up to +24 V for five minutes."),
            new Example("sweeprig permit --end", "End it before its time."));
        var parts = new PermitOptions("");
        var end = new Option<bool>("--end") { Description = "End the permit in force" };
        var (rig, json, data, url) = (SharedOptions.Rig(), SharedOptions.Json(), SharedOptions.DataOnly(), SharedOptions.ServiceUrl());
        parts.AddTo(command);
        command.Add(end);
        command.Add(rig);
        command.Add(data);
        command.Add(url);
        command.Add(json);
        command.Validators.Add(result =>
        {
            var given = parts.Options.Where(o => result.GetResult(o) is not null).ToArray();
            if (result.GetValue(end) && given.Length > 0) result.AddError($"--end stands with {given[0].Name}: a permit is either granted or ended. Leave one out.");
            else if (!result.GetValue(end) && given.Length < parts.Options.Count)
                result.AddError($"{string.Join(", ", parts.Missing(o => result.GetResult(o) is not null))} missing: a permit needs --ceiling, --minutes and --reason.");
        });
        command.SetAction((parsed, cancellation) => ServiceDoor.EnterAtRigAsync(
            context, parsed.GetValue(url), parsed.GetValue(data), parsed.GetValue(rig),
            bench => parsed.GetValue(end)
                ? EndAsync(bench, context, parsed.GetValue(json), cancellation)
                : GrantAsync(bench, context, parts.Read(parsed), parsed.GetValue(json), cancellation), cancellation));
        return command;
    }

    private static async Task<int> GrantAsync(RemoteBench bench, CliContext context, PermitRequest request, bool json, CancellationToken cancellation) =>
        context.Answer(await bench.GrantPermitAsync(request, cancellation), json, granted =>
            $"Permitted: drive up to {Engineering.Format(granted.CeilingVolts, "V")} for {RunText.Seconds(TimeSpan.FromSeconds(request.DurationSeconds))}, until {granted.EndsUtc}. Logged as {granted.Id}.");

    private static async Task<int> EndAsync(RemoteBench bench, CliContext context, bool json, CancellationToken cancellation) =>
        context.Answer(await bench.EndPermitAsync(cancellation), json, _ => "Ended. Without a permit no drive above 0 V is sent.");
}
