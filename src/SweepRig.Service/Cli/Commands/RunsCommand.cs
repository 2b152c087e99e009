using System.CommandLine;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Rigs;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Live;
using SweepRig.Storage;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Reads what is on record, whether or not a service runs.</summary>
public static class RunsCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "runs", "Lists, shows, exports and reports recorded runs. Works while a service runs, and without one.",
            new Example("sweeprig runs list", "The newest runs."),
            new Example("sweeprig runs show latest", "Levels and curve of the newest."))
        {
            RunsListCommand.Build(context),
            RunsShowCommand.Build(context),
            RunsHealthCommand.Build(context),
            RunsStudyCommand.Build(context),
            RunsExportCommand.Build(context),
            RunsReportCommand.Build(context, "report", "runs report"),
        };
        command.SetAction(parsed => new HelpWithExamples(new System.CommandLine.Help.HelpAction(), context.Terminal.Width).Invoke(parsed));
        return command;
    }

    public static Argument<string> RunArgument() =>
        new("ID") { Description = $"Id of the run, or its first digits if no other begins so, or \"{RunFinder.Latest}\"" };

    public static Option<string?> CalibrationOption() => new("--calibration")
    {
        Description = $"Derive volts with another calibration of the rig: its id, {RigCalibration.Newest} or {RigCalibration.NominalId} (default: {RigCalibration.AsMeasured})",
        HelpName = "ID",
    };

    /// <summary>Opens the store to read in it; null when it is a file that is not there, which reading must not make.</summary>
    public static async Task<RunStore?> OpenAsync(CliContext context, string? data, CancellationToken cancellation) =>
        context.Store(data) is { IsShared: false } place && !File.Exists(place.Name) ? null : await MakeAsync(context, data, cancellation);

    /// <summary>Opens the store, making it if need be.</summary>
    public static Task<RunStore> MakeAsync(CliContext context, string? data, CancellationToken cancellation) =>
        RunStore.OpenAsync(context.Store(data), context.Time, NullLogger<RunStore>.Instance, cancellation);

    /// <summary>Reads the run that a command names; when there is none, says why and gives null.</summary>
    public static async Task<RecordedRun?> ReadAsync(CliContext context, string? data, string run, string? calibration, bool json, CancellationToken cancellation)
    {
        await using var onRecord = await OnRecord.OpenAsync(context, data, json, cancellation);
        return onRecord is null ? null : (await onRecord.ReadAsync([run], calibration, cancellation))?[0];
    }

    /// <summary>What a newcomer does first.</summary>
    public const string FirstStep = "Record one: sweeprig demo, or sweeprig sweep.";

    public static string NothingIn(CliContext context, string? data) => $"No runs in {context.StoreName(data)} yet. {FirstStep}";
}
