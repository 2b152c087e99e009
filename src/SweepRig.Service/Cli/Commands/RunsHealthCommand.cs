using System.CommandLine;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;

namespace SweepRig.Service.Cli.Commands;

/// <summary>The health report of a screening that is on record.</summary>
public static class RunsHealthCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "health", "Tells what a screening says of its tube, made anew from the runs that it left. Name any of them.",
            new Example($"sweeprig runs health {RunFinder.Latest}", "The screening that the newest run belongs to."),
            new Example("sweeprig runs health 019d2f3a --calibration newest", "With the newest calibration of the rig."));
        return RecordedWork.Of(
            command, context,
            async (at, run, calibration, cancellation) => (await RecordedScreening.ReadAsync(at.Store, at.Calibrations, run, calibration, cancellation)).Map(HealthView.Of),
            HealthText.Lines);
    }
}
