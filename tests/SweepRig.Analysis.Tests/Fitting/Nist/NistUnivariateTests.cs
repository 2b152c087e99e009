using System.Globalization;
using System.Text.RegularExpressions;
using SweepRig.Analysis.Fitting;

namespace SweepRig.Analysis.Tests.Fitting.Nist;

/// <summary>Certified values of the NIST Statistical Reference Datasets, univariate summary statistics (Information Technology Laboratory).</summary>
public sealed partial class NistUnivariateTests
{
    // Digits that the binary form of the data still holds: 10000000.2 is stored to 1e-9, a hundred-millionth of the standard deviation of NumAcc4.
    [Theory]
    [InlineData("PiDigits", 14, 13, 12)]
    [InlineData("Lottery", 14, 14, 13)]
    [InlineData("Lew", 14, 14, 14)]
    [InlineData("Mavro", 14, 12, 12)]
    [InlineData("Michelso", 14, 13, 13)]
    [InlineData("NumAcc1", 15, 15, 15)]
    [InlineData("NumAcc2", 14, 14, 14)]
    [InlineData("NumAcc3", 14, 9, 9)]
    [InlineData("NumAcc4", 14, 8, 8)]
    public void Mean_deviation_and_autocorrelation_agree_to_the_digits(string name, double mean, double deviation, double autocorrelation)
    {
        var lines = File.ReadAllLines(Path.Combine(AppContext.BaseDirectory, "Fitting", "Nist", "univariate", name + ".txt"));
        var found = SampleMoments.Of(Data(lines));
        Check("mean", found.Mean, Certified(lines, MeanLine()), mean);
        Check("standard deviation", found.Deviation, Certified(lines, DeviationLine()), deviation);
        Check("autocorrelation", found.Autocorrelation, Certified(lines, AutocorrelationLine()), autocorrelation);

        void Check(string what, double value, double certified, double digits) => Assert.True(
            NistProblem.Digits(value, certified) >= digits, $"{name}, {what}: {value} against {certified}, {NistProblem.Digits(value, certified):0.0} digits");
    }

    [Fact]
    public void Too_few_readings_have_no_spread()
    {
        Assert.True(double.IsNaN(SampleMoments.Of([]).Mean));
        Assert.Equal(3.0, SampleMoments.Of([3]).Mean);
        Assert.True(double.IsNaN(SampleMoments.Of([3]).Deviation));
        Assert.True(double.IsNaN(SampleMoments.Of([3, 3]).Autocorrelation));
    }

    // What follows the last line that is no number.
    private static double[] Data(string[] lines)
    {
        var numbers = lines.Reverse().Where(l => l.Trim().Length > 0).TakeWhile(l => double.TryParse(l, NumberStyles.Float, CultureInfo.InvariantCulture, out _));
        return [.. numbers.Reverse().Select(l => double.Parse(l, CultureInfo.InvariantCulture))];
    }

    private static double Certified(string[] lines, Regex pattern) =>
        double.Parse(lines.Select(l => pattern.Match(l)).First(m => m.Success).Groups[1].Value, CultureInfo.InvariantCulture);

    [GeneratedRegex(@"^(?:Sample Mean +ybar:|mean +=) +(\S+)")]
    private static partial Regex MeanLine();

    [GeneratedRegex(@"^(?:Sample Standard Deviation .* s:|standardDeviation +=) +(\S+)")]
    private static partial Regex DeviationLine();

    [GeneratedRegex(@"^(?:Sample Autocorrelation .* r\(1\):|autocorrelationCoefficient +=) +(\S+)")]
    private static partial Regex AutocorrelationLine();
}
