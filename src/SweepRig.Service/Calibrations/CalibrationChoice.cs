using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Rigs.Documents;
using SweepRig.Domain.Runs;
using SweepRig.Storage;

namespace SweepRig.Service.Calibrations;

/// <summary>Shows a run with another calibration than the one it was made with: what is stored are raw codes, so any calibration of its rig can be applied.</summary>
public static class CalibrationChoice
{
    public const string Newest = "newest";

    /// <param name="asked">Id of a calibration, <c>newest</c>, <c>nominal</c>, or null for the one that the run was made with.</param>
    public static async Task<Outcome<RunRecord>> ApplyAsync(CalibrationStore store, RunRecord run, string? asked, CancellationToken cancellationToken)
    {
        if (asked is null) return Outcome<RunRecord>.Accept(run);
        var rig = run.Header.Rig;
        if (asked == RigCalibration.NominalId) return With(run, RigCalibration.Nominal(rig));
        if (asked == Newest)
        {
            return await store.ListAsync(rig.SerialNumber, cancellationToken) is [var newest, ..]
                ? With(run, newest)
                : Outcome<RunRecord>.Refuse(new Refusal("never-calibrated", "/calibration", $"the newest calibration of rig {rig.SerialNumber}", "this rig was never calibrated", "Calibrate it with sweeprig calibrate, or leave the calibration out."));
        }
        if (await store.FindAsync(asked, cancellationToken) is not { } found)
        {
            return Outcome<RunRecord>.Refuse(new Refusal(
                "calibration-unknown", "/calibration", $"calibration {asked}", $"there is none of that id; {Newest} and {RigCalibration.NominalId} are always understood", "See sweeprig calibrate list."));
        }
        return CalibrationDocument.AgainstRig(found, rig.SerialNumber) is { } refusal ? Outcome<RunRecord>.Refuse(refusal with { Path = "/calibration" }) : With(run, found);
    }

    private static Outcome<RunRecord> With(RunRecord run, RigCalibration calibration) =>
        Outcome<RunRecord>.Accept(run with { Header = run.Header with { Calibration = calibration.At(run.Header.StartedUtc) } });
}
