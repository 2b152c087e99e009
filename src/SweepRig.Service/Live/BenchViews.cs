using System.Globalization;
using System.Text.Json;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Contract;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Live;

/// <summary>Turns the state of the bench into what a viewer sees. Pure.</summary>
public static class BenchViews
{
    public static BenchView Of(BenchState state, DateTimeOffset now) => new(
        Word(state.Link),
        state.RigName,
        state.Identity is { } rig ? Of(rig, state.Calibration ?? RigCalibration.Nominal(rig), now) : null,
        state.LinkFault,
        state.Counters.Damaged,
        state.Counters.Lost,
        new(state.Heater.On, state.Heater.OnFor.TotalSeconds, state.Heater.WarmAfter.TotalSeconds, state.Heater.Warm),
        state.PlateRailOn,
        Finite(state.SupplyVolts),
        Finite(state.DriveVolts),
        state.Socket,
        state.Trip is { } trip ? Of(trip, state.TripCauseGone) : null,
        state.Permit is { } permit ? Of(permit, now) : null,
        state.Run is { } run ? Of(run) : null,
        state.Hold is { } hold ? new HoldView(hold.Drive.Value, hold.PlateRailVolts, hold.TimeLeft.TotalSeconds) : null,
        state.Unattended,
        state.Version);

    /// <summary>A calibration as it stood when it was used; see <see cref="RigCalibration.At"/>.</summary>
    public static CalibrationView Of(RigCalibration calibration) => new(
        calibration.IsNominal ? "nominal" : calibration.IsStale ? "stale" : "calibrated",
        calibration.IsNominal ? null : calibration.Id,
        calibration.Origin is { } made ? Utc(made.MadeUtc) : null,
        calibration.Origin is { } holds ? Utc(holds.ValidUntilUtc) : null,
        calibration.Origin?.Meter.Name,
        calibration.Origin is { Note.Length: > 0 } noted ? noted.Note : null,
        calibration.Origin?.PositivePoints ?? false);

    public static PermitView Of(Permit permit, DateTimeOffset now) => new(
        permit.Id.ToString(), permit.Ceiling.Value, permit.Reason, Utc(permit.GrantedUtc), Utc(permit.EndsUtc),
        Math.Max(0, (permit.EndsUtc - now).TotalSeconds));

    public static TripView Of(Trip trip, bool causeGone)
    {
        var advice = TripGuide.For(trip.Cause);
        return new(
            Word(trip.Cause), advice.Title, advice.LikelyCause, advice.Remedy, trip.ByRig, trip.Measured, trip.Limit, Utc(trip.OccurredUtc), causeGone);
    }

    public static TubeView Of(Tube tube) => new(tube.Label, tube.TypeName, tube.Lot);

    public static PassView Of(PassHeader pass) => new(pass.Index, Word(pass.Direction), pass.Points, pass.Repeat, pass.SecondSourceVolts);

    /// <summary>A word of the contract: kebab-case.</summary>
    public static string Word<T>(T value)
        where T : struct, Enum => JsonNamingPolicy.KebabCaseLower.ConvertName(value.ToString());

    /// <summary>A time as it is written everywhere: UTC, ISO 8601, milliseconds.</summary>
    public static string Utc(DateTimeOffset time) => time.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", CultureInfo.InvariantCulture);

    /// <summary>JSON has no NaN: what is not known is null.</summary>
    public static double? Finite(double value) => double.IsFinite(value) ? value : null;

    private static RigView Of(RigIdentity rig, RigCalibration calibration, DateTimeOffset now) => new(
        rig.Board, rig.SerialNumber, rig.Firmware, rig.ProtocolVersion, rig.Sockets, rig.HardLimits.DriveFloor.Value,
        rig.HardLimits.DriveCeiling.Value, rig.HardLimits.SupplyMax.Value, !calibration.IsNominal, Of(calibration.At(now)));

    private static ProgressView Of(RunProgress run) =>
        new(run.RunId, Word(run.Phase), run.Pass, run.Passes, run.PointsDone, run.PointsPlanned, Math.Max(0, run.TimeLeft.TotalSeconds),
            run.Adaptive is { } a ? new(a.SwitchingVolts, a.UncertaintyVolts, a.WantedVolts) : null);
}
