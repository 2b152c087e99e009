namespace SweepRig.Logic.Tests.Spice;

public sealed class CircuitAgreementTests
{
    [Fact]
    public async Task Random_networks_balance_where_ngspice_has_them_balance()
    {
        var seen = await CircuitAgreement.CompareAsync(RandomNetworks.Draw(seed: 3, count: 16), leads: 1, seed: 4, TestContext.Current.CancellationToken);
        Assert.Equal(16, seen.Networks);
        Assert.True(seen.Points >= 16, seen.ToString());
        Assert.True(seen.WorstVolts < 1e-3, seen.ToString());
        Assert.True(seen is { Missing: 0, NotAddingUp: 0, Unfinished: 0 }, seen.ToString());
    }
}
