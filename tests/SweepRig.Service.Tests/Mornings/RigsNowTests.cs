using SweepRig.Domain.Interlocks;
using SweepRig.Service.Contract;
using SweepRig.Service.Mornings;
using SweepRig.Service.Tests.Support;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Tests.Mornings;

public sealed class RigsNowTests
{
    private static BenchState Ready { get; } = new FakeRunner().State with { Link = RigLinkState.Connected, Identity = Examples.Rig };

    [Fact]
    public void A_rig_says_what_it_is_and_what_to_do()
    {
        Assert.Equal(("ready", "connected, nothing runs, heater off", ""), Parts(Ready));
        Assert.Equal(("working", "sweeping, 40 of 191 points, positive drive permitted up to 24 V", ""), Parts(Ready with
        {
            Run = new("r", RunPhase.Sweeping, 0, 1, 40, 191, TimeSpan.Zero),
            Permit = new(Guid.Empty, new(24), TimeSpan.FromMinutes(5), "check", DateTimeOffset.UnixEpoch),
        }));
        var tripped = Parts(Ready with { Trip = new(TripCause.GridCurrent, true, "6.2 mA", "5 mA", DateTimeOffset.UnixEpoch, null) });
        Assert.Equal(("tripped", "tripped and safe: Too much grid current (6.2 mA, limit 5 mA); heater off"), (tripped.State, tripped.Text));
        Assert.Contains("Lower the highest drive", tripped.Remedy, StringComparison.Ordinal);
        Assert.Equal(("gone", "does not answer", "The port vanished."), Parts(Ready with { Link = RigLinkState.Lost, LinkFault = "The port vanished." }));
        Assert.Equal("ready", Parts(Ready with { Trip = new(TripCause.PowerUp, true, "", "", DateTimeOffset.UnixEpoch, null) }).State);
    }

    [Fact]
    public void A_night_that_waits_for_a_person_says_so_and_after_a_trip_is_what_is_done_last()
    {
        var held = RigsNow.Of("north", Ready, "the bench has tripped: emergency stop");
        Assert.Equal(("ready", "connected, nothing runs, heater off; its night waits for you: the bench has tripped: emergency stop"), (held.State, held.Text));
        Assert.EndsWith("Then let its night go on: sweeprig night go-on.", held.Remedy, StringComparison.Ordinal);
        var tripped = RigsNow.Of("north", Ready with { Trip = new(TripCause.EmergencyStop, true, "", "", DateTimeOffset.UnixEpoch, null) }, "the bench has tripped: emergency stop");
        Assert.Equal("tripped", tripped.State);
        Assert.EndsWith("Then let its night go on: sweeprig night go-on.", tripped.Remedy, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("", "No service is running here: how the rigs are now is not known. A rig whose service is gone has made itself safe.")]
    [InlineData("ready", "The rig is connected and not tripped, nothing runs.")]
    [InlineData("ready working ready", "All 3 rigs are connected and not tripped, 1 at work.")]
    [InlineData("ready tripped gone ready", "rig-2 is tripped; rig-3 does not answer; the other 2 are connected and not tripped, nothing runs.")]
    [InlineData("tripped ready", "rig-1 is tripped; the other is connected and not tripped, nothing runs.")]
    [InlineData("gone", "rig-1 does not answer.")]
    public void One_line_says_how_the_bench_is(string states, string headline) =>
        Assert.Equal(headline, RigsNow.Headline([.. states.Split(' ', StringSplitOptions.RemoveEmptyEntries).Select((s, i) => new RigNowView($"rig-{i + 1}", s, "", ""))]));

    private static (string State, string Text, string Remedy) Parts(BenchState state)
    {
        var view = RigsNow.Of("north", state);
        return (view.State, view.Text, view.Remedy);
    }
}
