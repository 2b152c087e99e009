using SweepRig.Domain.Runs;

namespace SweepRig.Storage.Exports;

/// <summary>Where a row comes from: the leading columns of every table.</summary>
internal sealed class OriginColumns
{
    private readonly TextColumn _run = new("run"), _tube = new("tube"), _type = new("type"), _lot = new("lot"), _connection = new("connection"),
        _calibration = new("calibration"), _calibrationState = new("calibration_state"), _direction = new("direction");
    private readonly ValueColumn<DateTime> _started = new("started_utc");
    private readonly ValueColumn<int> _pass = new("pass"), _repeat = new("repeat");
    private readonly ValueColumn<double> _secondSource = new("second_source", "V");

    public IReadOnlyList<TableColumn> All => [_run, _started, _tube, _type, _lot, _connection, _calibration, _calibrationState, _pass, _direction, _repeat, _secondSource];

    public void Add(RunHeader run, PassHeader pass)
    {
        _run.Add(run.Id);
        _started.Add(run.StartedUtc.UtcDateTime);
        _tube.Add(run.Tube.Label);
        _type.Add(run.Tube.TypeName);
        _lot.Add(run.Tube.Lot);
        _connection.Add(OriginWords.Connection(run));
        _calibration.Add(run.Calibration.Id);
        _calibrationState.Add(OriginWords.Calibration(run));
        _pass.Add(pass.Index);
        _direction.Add(OriginWords.Direction(pass));
        _repeat.Add(pass.Repeat);
        _secondSource.Add(pass.SecondSourceVolts);
    }
}

/// <summary>Words in exported tables; once written they stay.</summary>
internal static class OriginWords
{
    public static string Connection(RunHeader run) => run.Plan.Connection.Kind == Domain.Tubes.ConnectionKind.Pentode ? "pentode" : "triode";

    public static string Calibration(RunHeader run) => run.Calibration.IsNominal ? "nominal" : run.Calibration.IsStale ? "stale" : "calibrated";

    public static string Direction(PassHeader pass) => pass.Direction == PassDirection.Up ? "up" : "down";
}
