using SweepRig.Domain.Rigs;
using SweepRig.Rigs;

namespace SweepRig.Sweeps.Planning;

/// <summary>A further pass of an adaptive sweep, once its drives are known: the pass that was planned, with a segment for each drive. Pure.</summary>
internal static class ChosenPass
{
    /// <param name="planned">As the planner let it pass: its range, ceiling, timing and supplies hold.</param>
    /// <param name="drives">As many as the pass has points, calibrated volts; brought within the range that was planned.</param>
    public static PassProgram Of(PassProgram planned, IReadOnlyList<double> drives, RigIdentity rig, RigCalibration calibration)
    {
        if (drives.Count != planned.Header.Points)
            throw new InvalidOperationException($"SweepRig bug: pass {planned.Header.Index} has {planned.Header.Points} points and was given {drives.Count} drives.");
        var whole = planned.Program.Segments[0];
        RigSegment Segment(double volts, int point)
        {
            var code = (ushort)Math.Clamp((int)rig.Drive.ToCode(new(calibration.Drive.Invert(volts))), whole.FromCode, whole.ToCode);
            return new(code, code, 1, point);
        }
        return planned with { Program = planned.Program with { Segments = [.. drives.Select(Segment)] } };
    }
}
