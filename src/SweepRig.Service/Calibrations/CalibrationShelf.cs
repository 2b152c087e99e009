using System.Collections.Immutable;
using SweepRig.Domain.Rigs;
using SweepRig.Storage;

namespace SweepRig.Service.Calibrations;

/// <summary>The calibrations on record, held in memory so that the runner can ask without waiting. Safe from any thread.</summary>
public sealed class CalibrationShelf(CalibrationStore store, TimeProvider time)
{
    private ImmutableArray<RigCalibration> _newestFirst = [];

    /// <summary>Reads them from the record; to be called before the runner starts and whenever one is added.</summary>
    public async Task RefreshAsync(CancellationToken cancellationToken) => _newestFirst = [.. await store.ListAsync(null, cancellationToken)];

    /// <summary>What a rig works on: the newest calibration that still holds, else the newest, else nominal values.</summary>
    public RigCalibration Of(RigIdentity rig) => Newest(rig.SerialNumber) is { } found && found.Channels.Count == rig.Channels.Count ? found : RigCalibration.Nominal(rig);

    /// <returns>Null when the rig was never calibrated.</returns>
    public RigCalibration? Newest(string rigSerialNumber) => Newest([.. _newestFirst.Where(c => c.RigSerialNumber == rigSerialNumber)]);

    /// <summary>True if its rig works on it, or would were it kept.</summary>
    public bool WouldBeUsed(RigCalibration calibration)
    {
        var ofRig = _newestFirst.Where(c => c.RigSerialNumber == calibration.RigSerialNumber).ToArray();
        // Of two made at the same time the one that was kept last counts as the newer, as in the store.
        if (!ofRig.Any(c => c.Id == calibration.Id)) ofRig = [.. ofRig.Prepend(calibration).OrderByDescending(c => c.Origin?.MadeUtc)];
        return Newest(ofRig)?.Id == calibration.Id;
    }

    private RigCalibration? Newest(RigCalibration[] ofRig)
    {
        var now = time.GetUtcNow();
        return ofRig.FirstOrDefault(c => !c.At(now).IsStale) ?? ofRig.FirstOrDefault();
    }
}
