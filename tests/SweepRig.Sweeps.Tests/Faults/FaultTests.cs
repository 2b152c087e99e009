using SweepRig.Domain.Runs;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Tests.Integration;
using SweepRig.Wire.Campaign;

namespace SweepRig.Sweeps.Tests.Faults;

/// <summary>All cases, played once for all tests.</summary>
public sealed class FaultedSweeps : IAsyncLifetime
{
    internal IReadOnlyDictionary<(string Name, bool Unattended), FaultEnd> Ends { get; private set; } = new Dictionary<(string, bool), FaultEnd>();

    public async ValueTask InitializeAsync() =>
        Ends = (await OnVirtualTime.RunAsync(FaultCases.All.SelectMany(c => new[] { FaultedSweep.Of(c, unattended: false), FaultedSweep.Of(c, unattended: true) })))
            .ToDictionary(e => (e.Case.Name, e.Unattended));

    public ValueTask DisposeAsync() => ValueTask.CompletedTask;
}

/// <summary>What goes wrong with tube, rig, line or clock trips the rule that it must, in its time, attended or not; and what must not trip does not.</summary>
[Collection(nameof(OnTheRealClock))]
public sealed class FaultTests(FaultedSweeps played) : IClassFixture<FaultedSweeps>
{
    public static TheoryData<string> Names => [.. FaultCases.All.Select(c => c.Name)];

    [Theory]
    [MemberData(nameof(Names))]
    public void A_fault_trips_what_it_must_in_its_time_and_nothing_else(string name)
    {
        var ends = new[] { played.Ends[(name, false)], played.Ends[(name, true)] };
        Assert.All(ends, e =>
        {
            Assert.True(e.Refused.Length == 0, e.ToString());
            var must = e.Unattended ? e.Case.Unattended : e.Case.Attended;
            Assert.True(e.First?.Cause == must, e.ToString());
            Assert.True((e.Run == RunState.Tripped) == must is not null, e.ToString());
            if (must is not null) Assert.True(e.SafeAfter <= e.Case.Within, e.ToString());
        });
    }

    [Fact]
    public void Each_rule_of_the_host_is_tripped_by_a_fault_or_it_is_known_why_not()
    {
        var tripped = played.Ends.Values.Where(e => e.First is { }).Select(e => e.First!.Cause).ToHashSet();
        var quiet = InterlockRules.All.Where(r => !r.Causes.Any(tripped.Contains)).Select(r => r.Id);
        Assert.Equal(FaultCases.NotTripped.Keys.Order(StringComparer.Ordinal), quiet.Order(StringComparer.Ordinal));
    }
}
