using SweepRig.Analysis.Health;

namespace SweepRig.Analysis.Tests.Health;

public class LinearFitTests
{
    // JCGM 100:2008, example H.3 (calibration of a thermometer), table H.6 and equations (H.13): y1 = -0.1712, y2 = 0.00218, s(y1) = 0.0029, s(y2) = 0.00067, s = 0.0035.
    [Fact]
    public void The_thermometer_of_the_GUM()
    {
        double[] reading = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511];
        double[] correction = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160];
        var fit = LinearFit.Of([.. reading.Select(t => new[] { 1, t - 20 })], correction)!;
        Assert.Equal(-0.1712, fit.Values[0], 4);
        Assert.Equal(0.00218, fit.Values[1], 5);
        Assert.Equal(0.0029, fit.Uncertainties[0], 4);
        Assert.Equal(0.00067, fit.Uncertainties[1], 5);
        Assert.Equal(0.0035, fit.ResidualDeviation, 4);
    }

    [Fact]
    public void Columns_that_say_the_same_have_no_answer()
    {
        Assert.Null(LinearFit.Of([[1, 2], [2, 4], [3, 6], [4, 8]], [1, 2, 3, 4]));
        Assert.Null(LinearFit.Of([[1, 2]], [1]));
        Assert.Null(LinearFit.Of([], []));
    }
}
