using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Calibration;
using SweepRig.Service.Live;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Reports;

/// <summary>A run up and down a straight line, with a gap and a trip where it is troubled.</summary>
internal static class ReportedRun
{
    public const string Id = "019d2f3a5b6c7d8e8f90a1b2c3d4e5f6";

    public static RecordedRun Of(string label = "SKUA-014", bool troubled = true)
    {
        var header = Examples.Header(Id, PlanExamples.FarPositivePentode);
        header = header with { Tube = header.Tube with { Label = label } };
        var points = header.Plan.Points;
        SampleBlock[] blocks = troubled
            ? [Examples.Block(0, 60), Examples.Block(70, points - 70, frame: 1), Down(points)]
            : [Examples.Block(0, points), Down(points)];
        var record = new RunRecord(
            header, troubled ? RunState.Tripped : RunState.Complete, header.StartedUtc.AddSeconds(4), blocks.Sum(b => b.Count),
            troubled ? [new Trip(TripCause.GridCurrent, ByRig: true, "5.1 mA", "5 mA", header.StartedUtc.AddSeconds(3), null)] : [],
            troubled ? [new Gap(0, 60, 10, "lost on the link")] : []);
        return new(record, header.Calibration, CurveBuilder.Build(header, blocks));
    }

    private static SampleBlock Down(int points)
    {
        var up = Examples.Block(0, points, pass: 1);
        return up with { DriveCode = [.. up.DriveCode.Reverse()], Codes = [[.. up.Codes[0].Reverse()], .. up.Codes.Skip(1)] };
    }
}
