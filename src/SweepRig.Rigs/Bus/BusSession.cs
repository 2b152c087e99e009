using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Bus.Configuration;
using SweepRig.Rigs.Control;

namespace SweepRig.Rigs.Bus;

/// <summary>One opening of the buses, from the first word to the DAC to the last. Everything here runs on the owner task.</summary>
internal sealed class BusSession : IBusReports
{
    private const long StatusMicroseconds = 100_000;

    private readonly BusConfig _config;
    private readonly TimeProvider _time;
    private readonly Func<long> _clock;
    private readonly Action<RigEvent> _tell;
    private readonly Func<bool> _safeWaits;
    private readonly BusController _controller;

    private BlockGatherer? _blocks;
    private long _statusAt;
    private int _blocksOfPass;

    /// <param name="clock">The rig's clock, microseconds.</param>
    /// <param name="tell">Takes events.</param>
    /// <param name="safeWaits">True while an order to be safe waits for the owner task.</param>
    public BusSession(BusConfig config, BusHardware hardware, TimeProvider time, Func<long> clock, Action<RigEvent> tell, Func<bool> safeWaits)
    {
        (_config, _time, _clock, _tell, _safeWaits) = (config, time, clock, tell, safeWaits);
        _controller = new(config, hardware, this, clock, time.GetUtcNow);
        _statusAt = clock();
    }

    public long NextDue => Math.Min(_controller.NextDue, _statusAt);

    private BusHardware Hardware => _controller.Hardware;

    /// <summary>Does one thing that is due.</summary>
    public void Act()
    {
        if (_statusAt <= _clock())
        {
            _statusAt = _clock() + StatusMicroseconds;
            _tell(new RigEvent.Status(_time.GetTimestamp(), Status()));
        }
        else
        {
            _controller.Act();
        }
        if (_blocks is { } blocks && blocks.IsDue(_clock())) TellBlock(blocks);
    }

    /// <summary>Looks at the supplies and converts every channel once, so that the first status tells measured figures.</summary>
    public void LookAround()
    {
        for (var i = 0; i <= RigChannels.Count; i++) _controller.Act();
    }

    public RigReply SetLimits(RigLimits limits) => BusRefusals.Busy(_controller) ?? BusRefusals.Limits(limits, _controller) ?? RigReply.Done;

    public async ValueTask<RigReply> SetSuppliesAsync(SupplySetting asked)
    {
        if (BusRefusals.Supplies(asked, _config, _controller.Limits) is { } refused) return refused;
        if (asked.PlateRail && BusRefusals.Latched(_controller) is { } latched) return latched;
        if (BusRefusals.Busy(_controller) is { } busy) return busy;
        if (Hardware.PlateRailOn && (!asked.PlateRail || asked.Socket != Hardware.Socket)) Hardware.SetPlateRail(false);
        if (asked.Socket != Hardware.Socket)
        {
            // One relay opens before another closes, with the rail dead and the drive at safe.
            var before = Hardware.Socket;
            Hardware.SelectSocket(null);
            if (before is not null) await RelaysRestAsync().ConfigureAwait(false);
            Hardware.SelectSocket(asked.Socket);
            await RelaysRestAsync().ConfigureAwait(false);
        }
        _controller.SetHeater(asked.Heater);
        if (asked.PlateRail == Hardware.PlateRailOn) return RigReply.Done;
        if (asked.PlateRail && _safeWaits()) return Overtaken("the supply setting");
        Hardware.SetPlateRail(asked.PlateRail);
        return RigReply.Done;
    }

    public async ValueTask<RigReply> RunAsync(RigProgram program)
    {
        if ((BusRefusals.Busy(_controller) ?? BusRefusals.Latched(_controller) ?? BusRefusals.Program(program, _config, _controller)) is { } refused) return refused;
        if (!_controller.LimitsIntact) return new(false, "no-answer", "SweepRig bug: the limits in memory no longer match their seal. Start the program again, and report this.");
        if (Hardware.Connection != program.Wiring.Kind)
        {
            // The drive is at safe: the tube is cut off and the relays carry nothing.
            Hardware.SelectConnection(null);
            await RelaysRestAsync().ConfigureAwait(false);
            Hardware.SelectConnection(program.Wiring.Kind);
            await RelaysRestAsync().ConfigureAwait(false);
        }
        if (_safeWaits()) return Overtaken("the program");
        _blocks = new(program.Pass, program.ChannelMask);
        _controller.Start(program);
        return RigReply.Done;
    }

    public RigReply MakeSafe()
    {
        _controller.Order();
        return RigReply.Done;
    }

    public RigReply Stop()
    {
        _controller.Stop();
        return RigReply.Done;
    }

    public RigReply Release() => _controller.Release() == ReleaseResult.Clear ? RigReply.Done : BusRefusals.CausePresent(_controller);

    void IBusReports.Sampled(in Sample sample) => _blocks?.Add(sample);

    void IBusReports.Ended(int pass, bool completed)
    {
        if (_blocks is { } blocks)
        {
            TellBlock(blocks);
            _blocksOfPass = blocks.Blocks;
            _blocks = null;
        }
        _tell(new RigEvent.PassEnded(_time.GetTimestamp(), pass, completed, _blocksOfPass));
    }

    void IBusReports.Tripped(Trip trip) => _tell(new RigEvent.Tripped(_time.GetTimestamp(), trip));

    private static RigReply Overtaken(string what) => new(false, "latched", $"The rig was ordered safe while {what} was under way, so it was given up. Acknowledge the trip first.");

    private Task RelaysRestAsync() => Task.Delay(TimeSpan.FromMilliseconds(_config.Switches.SettleMilliseconds), _time);

    private void TellBlock(BlockGatherer blocks)
    {
        if (blocks.Take() is { } block) _tell(new RigEvent.Block(_time.GetTimestamp(), block));
    }

    private RigStatus Status()
    {
        var now = _clock();
        var latch = _controller.Latch;
        return new(
            new(now), latch.IsFired, latch.IsFired ? latch.Cause : null, _controller.PresentCause is not null, _controller.Drive.ToVolts(Hardware.DriveCode),
            Hardware.HeaterOn, TimeSpan.FromMicroseconds(_controller.HeaterOnFor(now)), Hardware.PlateRailOn, _controller.SupplyVolts, _controller.IsRunning);
    }
}
