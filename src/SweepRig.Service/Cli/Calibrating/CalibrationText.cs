using System.Globalization;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Calibrating;

/// <summary>Gains, offsets, residuals and checks for people.</summary>
public static class CalibrationText
{
    public static IEnumerable<string> Fits(IReadOnlyList<CalibrationFitView> fits, Ink ink)
    {
        var table = new TextTable([("", false), ("gain", true), ("offset, mV", true), ("cubic, mV", true), ("residual, mV", true), ("U (95 %), mV", true)]);
        foreach (var fit in fits)
            table.Row(ink.Strong(fit.Name), Text(fit.Gain, "0.000000"), Text(1000 * fit.OffsetVolts, "0.00"), fit.HasCubicTerm ? Text(1000 * fit.CubicVolts, "0.00") : "none", Text(1000 * fit.ResidualVolts, "0.00"), Text(1000 * fit.ExpandedVolts, "0.0"));
        return table.Lines(ink);
    }

    public static IEnumerable<string> Checks(IReadOnlyList<CalibrationCheckView> checks, Ink ink)
    {
        var table = new TextTable([("check", false), ("meter, V", true), ("corrected, V", true), ("apart, mV", true), ("allowed, mV", true), ("", false)]);
        foreach (var check in checks)
            table.Row(ink.Strong(check.Name), Text(check.MeterVolts, "0.0000"), Text(check.CorrectedVolts, "0.0000"), Text(1000 * (check.CorrectedVolts - check.MeterVolts), "0.0"), Text(1000 * check.ExpandedVolts, "0.0"), check.Passed ? "pass" : "fail");
        return table.Lines(ink);
    }

    public static string State(CalibrationView calibration) => calibration.State switch
    {
        "nominal" => "nominal values: this rig is not calibrated",
        "stale" => $"{calibration.Id}, stale since {Day(calibration.ValidUntilUtc)}",
        _ => $"{calibration.Id}, valid until {Day(calibration.ValidUntilUtc)}",
    };

    private static string Day(string? utc) => utc is { Length: >= 10 } ? utc[..10] : "?";

    private static string Text(double value, string format) => value.ToString(format, CultureInfo.InvariantCulture);
}
