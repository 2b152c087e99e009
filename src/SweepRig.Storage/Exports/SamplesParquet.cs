using SweepRig.Domain.Runs;

namespace SweepRig.Storage.Exports;

/// <summary>
/// Samples of many runs as one Parquet file: a row a point, volts and amperes with standard uncertainties, the columns of <see cref="CurveCsv"/>. A point that is missing keeps
/// its row, without values.
/// </summary>
public sealed class SamplesParquet : IAsyncDisposable
{
    private readonly OriginColumns _origin = new();
    private readonly ValueColumn<int> _point = new("point");
    private readonly (ValueColumn<double> Column, Func<Curve, double[]> Of)[] _numbers =
    [
        (new("drive", "V"), c => c.Drive), (new("plate", "V"), c => c.Plate), (new("grid", "V"), c => c.Grid), (new("screen", "V"), c => c.Screen), (new("supply", "V"), c => c.Supply),
        (new("plate_current", "A"), c => c.PlateCurrent), (new("screen_current", "A"), c => c.ScreenCurrent), (new("grid_current", "A"), c => c.GridCurrent),
        (new("drive_uncertainty", "V"), c => c.DriveUncertainty), (new("plate_uncertainty", "V"), c => c.PlateUncertainty), (new("grid_uncertainty", "V"), c => c.GridUncertainty),
        (new("screen_uncertainty", "V"), c => c.ScreenUncertainty), (new("supply_uncertainty", "V"), c => c.SupplyUncertainty),
        (new("plate_current_uncertainty", "A"), c => c.PlateCurrentUncertainty), (new("screen_current_uncertainty", "A"), c => c.ScreenCurrentUncertainty),
        (new("grid_current_uncertainty", "A"), c => c.GridCurrentUncertainty),
    ];
    private readonly ValueColumn<long> _rigTime = new("rig_time", "us");
    private readonly ValueColumn<bool> _settled = new("settled"), _clipped = new("clipped"), _repeated = new("measured_again");
    private ParquetTable _table = null!;

    private SamplesParquet()
    {
    }

    /// <param name="to">Seekable; stays open.</param>
    /// <param name="softwareVersion">Of this program.</param>
    /// <param name="cancellationToken">Ends it.</param>
    public static async Task<SamplesParquet> CreateAsync(Stream to, string softwareVersion, CancellationToken cancellationToken)
    {
        var samples = new SamplesParquet();
        samples._table = await ParquetTable.CreateAsync(
            to, [.. samples._origin.All, samples._point, .. samples._numbers.Select(n => n.Column), samples._rigTime, samples._settled, samples._clipped, samples._repeated],
            new Dictionary<string, string> { ["format"] = "sweeprig-samples/1", ["software"] = $"SweepRig {softwareVersion}", ["uncertainty"] = "standard (k = 1)" }, cancellationToken).ConfigureAwait(false);
        return samples;
    }

    /// <param name="run">Its header with the calibration that the curves were derived with.</param>
    public async Task AddAsync(RunRecord run, IReadOnlyList<Curve> curves, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(run);
        ArgumentNullException.ThrowIfNull(curves);
        foreach (var curve in curves)
        {
            for (var i = 0; i < curve.Count; i++)
            {
                _origin.Add(run.Header, curve.Pass);
                _point.Add(i);
                foreach (var (column, of) in _numbers) column.Add(of(curve) is { Length: > 0 } values && double.IsFinite(values[i]) ? values[i] : null);
                var missing = double.IsNaN(curve.Drive[i]);
                _rigTime.Add(missing ? null : curve.SampledAtTicks[i]);
                _settled.Add(missing ? null : curve.Flags[i].HasFlag(SampleFlags.Settled));
                _clipped.Add(missing ? null : curve.Flags[i].HasFlag(SampleFlags.Clipped));
                _repeated.Add(missing ? null : curve.Flags[i].HasFlag(SampleFlags.Repeated));
                await _table.RowAsync(cancellationToken).ConfigureAwait(false);
            }
        }
    }

    /// <summary>Writes what waits.</summary>
    public Task EndAsync(CancellationToken cancellationToken) => _table.FlushAsync(cancellationToken);

    public ValueTask DisposeAsync() => _table.DisposeAsync();
}
