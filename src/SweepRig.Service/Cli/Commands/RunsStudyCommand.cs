using System.CommandLine;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Records;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Studies;

namespace SweepRig.Service.Cli.Commands;

/// <summary>What a study that is on record found.</summary>
public static class RunsStudyCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "study", "Tells what a study found (exploration of positive drive, soak, warm-up study, life test, repeats), made anew from the runs that it left. Name any of them.",
            new Example($"sweeprig runs study {RunFinder.Latest}", "The study that the newest run belongs to."),
            new Example("sweeprig runs study 019d2f3a --calibration newest", "With the newest calibration of the rig."));
        return RecordedWork.Of(
            command, context,
            async (at, run, calibration, cancellation) => (await RecordedStudy.ReadAsync(at.Store, at.Calibrations, run, calibration, cancellation)).Map(study => study.View),
            StudyText.Lines);
    }
}
