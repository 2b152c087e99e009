using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Rigs.Documents;
using SweepRig.Domain.Runs;
using SweepRig.Storage;

namespace SweepRig.Service.Calibrations;

/// <summary>Which calibration a run is shown with: what is stored are raw codes, so any of its rig can be applied. The same words hold for REST, command line and page.</summary>
public static class CalibrationChoice
{
    /// <param name="asked">Id of a calibration, <c>newest</c>, <c>nominal</c>, or <c>as-measured</c>; null means the last.</param>
    /// <returns>The calibration as it stood when the run was made, or why it cannot be applied, with the path <c>/calibration</c>.</returns>
    public static async Task<Outcome<RigCalibration>> FindAsync(CalibrationStore store, RunHeader run, string? asked, CancellationToken cancellationToken)
    {
        var serialNumber = run.Rig.SerialNumber;
        switch (asked)
        {
            case null or RigCalibration.AsMeasured:
                return Outcome<RigCalibration>.Accept(run.Calibration);
            case RigCalibration.NominalId:
                return Outcome<RigCalibration>.Accept(RigCalibration.Nominal(run.Rig));
            case RigCalibration.Newest:
                return await store.ListAsync(serialNumber, cancellationToken) is [var newest, ..]
                    ? At(run, newest)
                    : Refuse("never-calibrated", $"the newest calibration of rig {serialNumber}", "this rig was never calibrated", "Calibrate it with sweeprig calibrate, or leave the calibration out.");
        }
        if (await store.FindAsync(asked, cancellationToken) is not { } found)
            return Refuse("calibration-unknown", $"calibration \"{asked}\"", $"there is none of that id; {string.Join(", ", RigCalibration.ReservedIds)} are always understood", "See sweeprig calibrate list.");
        return CalibrationDocument.AgainstRig(found, serialNumber) is { } refusal ? Outcome<RigCalibration>.Refuse(refusal with { Path = "/calibration" }) : At(run, found);
    }

    private static Outcome<RigCalibration> At(RunHeader run, RigCalibration calibration) => Outcome<RigCalibration>.Accept(calibration.At(run.StartedUtc));

    private static Outcome<RigCalibration> Refuse(string code, string asked, string allowed, string remedy) =>
        Outcome<RigCalibration>.Refuse(new Refusal(code, "/calibration", asked, allowed, remedy));
}
