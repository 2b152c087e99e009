using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Serial;
using SweepRig.Rigs.Simulated;

namespace SweepRig.Rigs.Tests.Serial;

/// <summary>A rig whose port comes back under another name, beside others that must be left alone.</summary>
public sealed class RoamingPortTests
{
    private const string Own = "/dev/ttyUSB0";

    private readonly Computer _computer = new();
    private readonly PortRoll _roll = new();

    [Fact]
    public async Task Its_own_port_is_opened_and_any_rig_is_let_in_there()
    {
        var port = Port("left");
        _computer.Plug(Own, "RP-1");
        Assert.Equal("RP-1", await ConnectAsync(port, "RP-1"));
        port.Left();
        _computer.Plug(Own, "RP-2");
        Assert.Equal("RP-2", await ConnectAsync(port, "RP-2"));
        Assert.Equal([Own, Own], _computer.Opened);
    }

    [Fact]
    public async Task A_rig_that_came_back_under_another_name_is_found_where_its_adapter_is_before_any_other_port_is_touched()
    {
        var port = Port("left");
        _computer.Plug(Own, "RP-1", "by-id/adapter-7");
        await ConnectAsync(port, "RP-1");
        port.Left();
        _computer.Unplug(Own);
        _computer.Plug("/dev/ttyACM0", "a printer");
        _computer.Plug("/dev/ttyUSB5", "RP-1", "by-id/adapter-7");
        Assert.Equal("RP-1", await ConnectAsync(port, "RP-1"));
        Assert.Equal([Own, "/dev/ttyUSB5"], _computer.Opened);
        Assert.Equal("/dev/ttyUSB5", port.Name);
    }

    [Fact]
    public async Task Without_such_a_name_the_free_ports_are_asked_one_after_another_and_each_once()
    {
        var port = Port("left");
        _computer.Plug(Own, "RP-1");
        await ConnectAsync(port, "RP-1");
        port.Left();
        _computer.Unplug(Own);
        _computer.Plug("/dev/ttyUSB1", "RP-9");
        _computer.Plug("/dev/ttyUSB2", "RP-1");
        await port.OpenAsync(TestContext.Current.CancellationToken);
        var away = port.Enter(Rig("RP-9"));
        Assert.True(away!.Retrying);
        Assert.Contains("RP-9", away.Reason, StringComparison.Ordinal);
        Assert.Contains("RP-1", away.Reason, StringComparison.Ordinal);
        port.Left();
        Assert.Equal("RP-1", await ConnectAsync(port, "RP-1"));
        Assert.Equal([Own, "/dev/ttyUSB1", "/dev/ttyUSB2"], _computer.Opened);
    }

    [Fact]
    public async Task Ports_that_another_rig_or_program_has_are_never_opened()
    {
        var (left, right) = (Port("left"), Port("right", "/dev/ttyUSB1"));
        _roll.Reserve("left", Own);
        _roll.Reserve("right", "/dev/ttyUSB1");
        _computer.Plug(Own, "RP-1");
        await ConnectAsync(left, "RP-1");
        left.Left();
        _computer.Unplug(Own);
        _computer.Plug("/dev/ttyUSB1", "RP-2");
        _computer.Plug("/dev/ttyUSB2", "somebody's terminal");
        _computer.Held.Add("/dev/ttyUSB2");
        var fault = await Assert.ThrowsAsync<RigPortException>(() => left.OpenAsync(TestContext.Current.CancellationToken).AsTask());
        Assert.Contains("RP-1", fault.Message, StringComparison.Ordinal);
        Assert.Equal([Own], _computer.Opened);
        Assert.Equal("RP-2", await ConnectAsync(right, "RP-2"));
    }

    [Fact]
    public async Task A_port_where_a_rig_was_found_is_its_own_until_it_goes_home()
    {
        var left = Port("left");
        _roll.Reserve("left", Own);
        _computer.Plug(Own, "RP-1");
        await ConnectAsync(left, "RP-1");
        left.Left();
        _computer.Unplug(Own);
        _computer.Plug("/dev/ttyUSB3", "RP-1");
        await ConnectAsync(left, "RP-1");
        Assert.True(_roll.IsOfAnother("right", "/dev/ttyUSB3"));
        left.Left();
        _computer.Unplug("/dev/ttyUSB3");
        _computer.Plug(Own, "RP-1");
        Assert.Equal("RP-1", await ConnectAsync(left, "RP-1"));
        Assert.False(_roll.IsOfAnother("right", "/dev/ttyUSB3"));
        Assert.Equal(Own, left.Name);
    }

    [Fact]
    public async Task A_port_that_is_there_and_in_use_sends_nobody_looking()
    {
        var port = Port("left");
        _computer.Plug(Own, "RP-1");
        await ConnectAsync(port, "RP-1");
        port.Left();
        _computer.Busy.Add(Own);
        _computer.Plug("/dev/ttyUSB2", "RP-1");
        await Assert.ThrowsAsync<RigPortException>(() => port.OpenAsync(TestContext.Current.CancellationToken).AsTask());
        Assert.Equal([Own], _computer.Opened);
    }

    [Fact]
    public async Task A_rig_that_was_never_seen_is_looked_for_only_by_a_serial_number_that_was_given()
    {
        _computer.Plug("/dev/ttyUSB2", "RP-1");
        await Assert.ThrowsAsync<RigPortException>(() => Port("left").OpenAsync(TestContext.Current.CancellationToken).AsTask());
        Assert.Empty(_computer.Opened);
        Assert.Equal("RP-1", await ConnectAsync(Port("left", serialNumber: "RP-1"), "RP-1"));
    }

    [Fact]
    public async Task Another_rig_than_the_one_that_was_named_is_turned_away_with_both_named()
    {
        var port = Port("left", serialNumber: "RP-1");
        _computer.Plug(Own, "RP-2");
        await port.OpenAsync(TestContext.Current.CancellationToken);
        var away = port.Enter(Rig("RP-2"))!;
        Assert.False(away.Retrying);
        Assert.Contains("RP-1", away.Reason, StringComparison.Ordinal);
        Assert.Contains("RP-2", away.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_second_of_two_rigs_with_one_serial_number_is_turned_away_until_the_first_has_left()
    {
        var (left, right) = (Port("left"), Port("right", "/dev/ttyUSB1"));
        _computer.Plug(Own, "RP-1");
        _computer.Plug("/dev/ttyUSB1", "RP-1");
        await ConnectAsync(left, "RP-1");
        await right.OpenAsync(TestContext.Current.CancellationToken);
        var away = right.Enter(Rig("RP-1"))!;
        Assert.Contains("left", away.Reason, StringComparison.Ordinal);
        Assert.Contains("right", away.Reason, StringComparison.Ordinal);
        Assert.Contains("RP-1", away.Reason, StringComparison.Ordinal);
        right.Left();
        left.Left();
        Assert.Equal("RP-1", await ConnectAsync(right, "RP-1"));
    }

    private RoamingPort Port(string name, string path = Own, string? serialNumber = null) => new(name, path, serialNumber, _roll, _computer, p => new FakePort(_computer, p));

    /// <summary>Opens it and lets the rig there in.</summary>
    private async Task<string> ConnectAsync(RoamingPort port, string expected)
    {
        await port.OpenAsync(TestContext.Current.CancellationToken);
        var there = _computer.RigAt(_computer.Opened[^1]);
        Assert.Equal(expected, there);
        Assert.Null(port.Enter(Rig(there)));
        return there;
    }

    private static RigIdentity Rig(string serialNumber) => new(
        1, "test", "test rig", serialNumber, 1, default, new(12, new(-16), new(32)), SimulatedRigDefaults.Channels, SimulatedRigDefaults.HardLimits, 300, 16, ResetReason.PowerOn);

    /// <summary>What is plugged in.</summary>
    private sealed class Computer : IPresentPorts
    {
        private readonly Dictionary<string, (string Rig, string? Stable)> _ports = [];

        public List<string> Opened { get; } = [];

        public HashSet<string> Held { get; } = [];

        public HashSet<string> Busy { get; } = [];

        public void Plug(string path, string rig, string? stable = null) => _ports[path] = (rig, stable);

        public void Unplug(string path) => _ports.Remove(path);

        public string RigAt(string path) => _ports[path].Rig;

        public IReadOnlyList<PresentPort> All() => [.. _ports.Select(p => new PresentPort(p.Key, p.Value.Stable))];

        public bool IsPresent(string path) => _ports.ContainsKey(path);

        public bool IsHeld(string path) => Held.Contains(path);
    }

    private sealed class FakePort(Computer computer, string path) : IRigPort
    {
        public string Name => path;

        public ValueTask<Stream> OpenAsync(CancellationToken cancellationToken)
        {
            if (!computer.IsPresent(path)) throw new RigPortException($"There is no port {path}.");
            if (computer.Busy.Contains(path)) throw new RigPortException($"The port {path} is in use.");
            computer.Opened.Add(path);
            return ValueTask.FromResult<Stream>(new MemoryStream());
        }
    }
}
