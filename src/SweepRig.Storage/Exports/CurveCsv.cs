using System.Globalization;
using CsvHelper;
using CsvHelper.Configuration;
using SweepRig.Domain.Runs;

namespace SweepRig.Storage.Exports;

/// <summary>
/// Curves as a table after RFC 4180: CRLF, quotes only where needed, one header line with units, one row a sample. The format has no comments, so
/// where a row comes from stands in its leading columns. A point that is missing keeps its row, with empty fields. Uncertainties are standard ones. Numbers are invariant and
/// round-trip exactly; times are the rig's own clock.
/// </summary>
public static class CurveCsv
{
    private static readonly string[] Header =
    [
        "run", "started (UTC)", "tube", "type", "lot", "connection", "calibration", "calibration state",
        "pass", "direction", "repeat", "second source (V)", "point",
        "drive (V)", "plate (V)", "plate uncertainty (V)", "grid (V)", "screen (V)", "supply (V)",
        "plate current (A)", "screen current (A)", "grid current (A)",
        "rig time (us)", "settled", "clipped", "measured again",
        // Behind what older readers know by its place.
        "drive uncertainty (V)", "grid uncertainty (V)", "screen uncertainty (V)", "supply uncertainty (V)",
        "plate current uncertainty (A)", "screen current uncertainty (A)", "grid current uncertainty (A)",
    ];

    public static async Task WriteAsync(RunRecord run, IReadOnlyList<Curve> curves, TextWriter writer)
    {
        var csv = await BeginAsync(writer).ConfigureAwait(false);
        await using (csv.ConfigureAwait(false)) await AddAsync(csv, run, curves).ConfigureAwait(false);
    }

    /// <summary>Begins a table for one run or many, to which <see cref="AddAsync"/> adds.</summary>
    /// <param name="writer">Stays open.</param>
    public static async Task<CsvWriter> BeginAsync(TextWriter writer)
    {
        var csv = new CsvWriter(writer, new CsvConfiguration(CultureInfo.InvariantCulture) { NewLine = "\r\n", Delimiter = "," }, leaveOpen: true);
        foreach (var name in Header) csv.WriteField(name);
        await csv.NextRecordAsync().ConfigureAwait(false);
        return csv;
    }

    public static async Task AddAsync(CsvWriter csv, RunRecord run, IReadOnlyList<Curve> curves)
    {
        ArgumentNullException.ThrowIfNull(csv);
        ArgumentNullException.ThrowIfNull(run);
        ArgumentNullException.ThrowIfNull(curves);
        foreach (var curve in curves)
        {
            for (var i = 0; i < curve.Count; i++)
            {
                WriteOrigin(csv, run.Header, curve.Pass);
                WriteSample(csv, curve, i);
                await csv.NextRecordAsync().ConfigureAwait(false);
            }
        }
    }

    internal static void WriteOrigin(CsvWriter csv, RunHeader header, PassHeader pass)
    {
        csv.WriteField(header.Id);
        csv.WriteField(header.StartedUtc.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", CultureInfo.InvariantCulture));
        csv.WriteField(header.Tube.Label);
        csv.WriteField(header.Tube.TypeName);
        csv.WriteField(header.Tube.Lot);
        csv.WriteField(OriginWords.Connection(header));
        csv.WriteField(header.Calibration.Id);
        csv.WriteField(OriginWords.Calibration(header));
        csv.WriteField(pass.Index);
        csv.WriteField(OriginWords.Direction(pass));
        csv.WriteField(pass.Repeat);
        csv.WriteField(pass.SecondSourceVolts);
    }

    private static void WriteSample(CsvWriter csv, Curve curve, int i)
    {
        csv.WriteField(i);
        WriteNumber(csv, curve.Drive[i]);
        WriteNumber(csv, curve.Plate[i]);
        WriteNumber(csv, curve.PlateUncertainty[i]);
        WriteNumber(csv, curve.Grid[i]);
        WriteNumber(csv, curve.Screen[i]);
        WriteNumber(csv, curve.Supply[i]);
        WriteNumber(csv, curve.PlateCurrent[i]);
        WriteNumber(csv, curve.ScreenCurrent[i]);
        WriteNumber(csv, curve.GridCurrent[i]);
        WriteHow(csv, curve, i);
        foreach (var column in Uncertainties(curve)) WriteNumber(csv, column.Length == 0 ? double.NaN : column[i]);
    }

    private static void WriteHow(CsvWriter csv, Curve curve, int i)
    {
        if (double.IsNaN(curve.Drive[i]))
        {
            for (var empty = 0; empty < 4; empty++) csv.WriteField("");
            return;
        }
        var flags = curve.Flags[i];
        csv.WriteField(curve.SampledAtTicks[i]);
        csv.WriteField(flags.HasFlag(SampleFlags.Settled) ? "1" : "0");
        csv.WriteField(flags.HasFlag(SampleFlags.Clipped) ? "1" : "0");
        csv.WriteField(flags.HasFlag(SampleFlags.Repeated) ? "1" : "0");
    }

    private static double[][] Uncertainties(Curve curve) =>
    [
        curve.DriveUncertainty, curve.GridUncertainty, curve.ScreenUncertainty, curve.SupplyUncertainty,
        curve.PlateCurrentUncertainty, curve.ScreenCurrentUncertainty, curve.GridCurrentUncertainty,
    ];

    internal static void WriteNumber(CsvWriter csv, double value) =>
        csv.WriteField(double.IsFinite(value) ? value.ToString("R", CultureInfo.InvariantCulture) : "");
}
