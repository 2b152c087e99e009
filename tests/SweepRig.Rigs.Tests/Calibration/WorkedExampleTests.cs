using System.Globalization;
using System.Text.RegularExpressions;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Calibration.Fitting;

namespace SweepRig.Rigs.Tests.Calibration;

/// <summary>The worked example of <c>firmware-notes/calibration.md</c> is read from the document and worked out again.</summary>
public sealed partial class WorkedExampleTests
{
    private const double Asked = 28;

    private static readonly string Example = Section();

    [Fact]
    public void Every_result_of_the_document_comes_out_again()
    {
        var points = Row().Matches(Example).Select(m => new ComparedPoint(Number(m.Groups[1].Value), 0.6e-3, Number(m.Groups[2].Value))).ToArray();
        Assert.Equal(6, points.Length);
        var meter = new ReferenceMeter("of the example", "1", 0.05, 0, 60, 3, 0.001, 1);
        var fitted = CorrectionFit.Of(points, meter);
        var correction = fitted.Correction;
        var reading = correction.Apply(Asked);
        var computed = new Dictionary<string, double>
        {
            ["gain b1"] = correction.Gain,
            ["u(b1) by the fit"] = Math.Sqrt(correction.Covariance.Slope),
            ["b0, V"] = correction.AtCentreVolts,
            ["u(b0) by the fit, V"] = Math.Sqrt(correction.Covariance.AtCentre),
            ["offset at nominal 0 V, V"] = correction.OffsetVolts,
            ["χ²/ν of the line"] = fitted.Scale,
            ["F of a cubic term"] = fitted.FRatio,
            ["99 % point of F(1, 3)"] = fitted.FLimit,
            ["reading at nominal 28 V, V"] = reading,
            ["its u by the fit, V"] = correction.FitUncertaintyAt(reading),
            ["its standard uncertainty, V"] = correction.UncertaintyAt(reading),
            ["its expanded uncertainty, 95 %, V"] = ExpandedUncertainty.Of(correction, reading),
        };
        var said = Result().Matches(Example).ToDictionary(m => m.Groups["name"].Value.Trim(), m => m.Groups["value"].Value);
        Assert.Equal(computed.Keys.Order(StringComparer.Ordinal), said.Keys.Order(StringComparer.Ordinal));
        foreach (var (name, value) in computed)
        {
            var decimals = said[name].Contains('.', StringComparison.Ordinal) ? said[name].Length - said[name].IndexOf('.', StringComparison.Ordinal) - 1 : 0;
            Assert.True(Math.Abs(Number(said[name]) - value) <= 0.51 * Math.Pow(10, -decimals), FormattableString.Invariant($"{name}: the document says {said[name]}, it comes out as {value}"));
        }
        Assert.False(fitted.HasCubicTerm);
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);

    private static string Section()
    {
        for (var directory = new DirectoryInfo(AppContext.BaseDirectory); directory is not null; directory = directory.Parent)
        {
            var path = Path.Combine(directory.FullName, "firmware-notes", "calibration.md");
            if (!File.Exists(path)) continue;
            var text = File.ReadAllText(path);
            return text[text.IndexOf("## Worked example", StringComparison.Ordinal)..];
        }
        throw new FileNotFoundException($"firmware-notes/calibration.md is not above {AppContext.BaseDirectory}.");
    }

    [GeneratedRegex(@"^\| (\d+\.\d+) \| (\d+\.\d+) \|$", RegexOptions.Multiline)]
    private static partial Regex Row();

    [GeneratedRegex(@"^\| (?<name>[^\d|-][^|]*|99 %[^|]*) \| (?<value>-?\d+(\.\d+)?) \|$", RegexOptions.Multiline)]
    private static partial Regex Result();
}
