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
    public RigCalibration? Newest(string rigSerialNumber)
    {
        var now = time.GetUtcNow();
        var ofRig = _newestFirst.Where(c => c.RigSerialNumber == rigSerialNumber).ToArray();
        return ofRig.FirstOrDefault(c => !c.At(now).IsStale) ?? ofRig.FirstOrDefault();
    }
}
