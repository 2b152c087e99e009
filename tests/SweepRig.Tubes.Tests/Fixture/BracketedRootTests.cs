using SweepRig.Tubes.Fixture;

namespace SweepRig.Tubes.Tests.Fixture;

public class BracketedRootTests
{
    [Theory]
    [InlineData(0, 10)]
    [InlineData(-3, -2)]
    [InlineData(50, 60)]
    [InlineData(1.9, 2.1)]
    public void The_root_is_found_from_any_bracket(double low, double high)
    {
        var function = new Counted(x => x * x * x - 8);
        Assert.True(BracketedRoot.TryFind(ref function, low, high, out var root));
        Assert.Equal(2, root, 1e-12);
        Assert.InRange(function.Calls, 1, 100);
    }

    // Nearly flat on one side: plain regula falsi would creep along it.
    [Fact]
    public void An_exponential_is_no_trouble()
    {
        var function = new Counted(x => Math.Exp(x / 0.09) - 1e-3);
        Assert.True(BracketedRoot.TryFind(ref function, -10, 10, out var root));
        Assert.Equal(0.09 * Math.Log(1e-3), root, 1e-12);
        Assert.InRange(function.Calls, 1, 400);
    }

    [Fact]
    public void A_step_is_found_where_it_is()
    {
        var function = new Counted(x => x < 1.25 ? -1 : 1e9);
        Assert.True(BracketedRoot.TryFind(ref function, 0, 10, out var root));
        Assert.Equal(1.25, root, 1e-9);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(-1)]
    [InlineData(double.NaN)]
    public void Without_a_change_of_sign_there_is_no_root(double value)
    {
        var function = new Counted(_ => value);
        Assert.False(BracketedRoot.TryFind(ref function, 0, 1, out _));
        Assert.InRange(function.Calls, 1, 100);
    }

    private struct Counted(Func<double, double> function) : IScalarFunction
    {
        public int Calls { get; private set; }

        public double At(double x)
        {
            Calls++;
            return function(x);
        }
    }
}
