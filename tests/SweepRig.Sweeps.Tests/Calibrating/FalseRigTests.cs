using SweepRig.Sweeps.Tests.Integration;

namespace SweepRig.Sweeps.Tests.Calibrating;

/// <summary>The reduced set of the figure <c>calibration-coverage</c>.</summary>
[Collection(nameof(OnTheRealClock))]
public sealed class FalseRigTests
{
    [Fact]
    public async Task Corrected_readings_agree_with_the_truth_within_what_is_stated()
    {
        const int Seeds = 12;
        var checks = new List<TruthCheck>();
        for (var seed = 1; seed <= Seeds; seed++) checks.AddRange(await CheckAsync(seed));
        // Six comparisons a seed that share one meter. Below 75 % of agreement would come about less than once in a thousand such sets if 95 % were true.
        Assert.Equal(6 * Seeds, checks.Count);
        Assert.InRange(checks.Count(c => c.Agrees), 0.75 * checks.Count, checks.Count);
        // And the statement says something: an uncalibrated rig is off by many times as much.
        Assert.All(checks, c => Assert.InRange(c.ExpandedVolts, 0.002, 0.06));
    }

    [Fact]
    public async Task A_bent_converter_gets_a_cubic_term_and_stays_within_what_is_stated()
    {
        var checks = await CheckAsync(5, bowVolts: 0.08);
        // 80 mV of bow would be many times the stated uncertainty if it were left in.
        Assert.All(checks.Where(c => c.Name != "drive"), c => Assert.True(Math.Abs(c.ErrorVolts) < 0.05, $"{c.Name}: {c.ErrorVolts} V"));
    }

    /// <summary>Leases run by the machine's clock: a machine too busy to renew one trips the rig or drops its rail, as in life. Such a rig is begun anew; one that is refused each time fails.</summary>
    private static async Task<IReadOnlyList<TruthCheck>> CheckAsync(int seed, double bowVolts = 0)
    {
        for (var attempt = 1; ; attempt++)
        {
            try
            {
                return await FalseRig.CheckAsync(seed, bowVolts);
            }
            catch (InvalidOperationException) when (attempt < 6)
            {
            }
        }
    }
}
