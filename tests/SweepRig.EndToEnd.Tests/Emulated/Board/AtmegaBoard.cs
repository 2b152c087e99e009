using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.EndToEnd.Tests.Emulated.Avr;
using SweepRig.EndToEnd.Tests.Emulated.Chips;

namespace SweepRig.EndToEnd.Tests.Emulated.Board;

/// <summary>
/// The ATmega328P board of <c>firmware-notes/reference/boards/atmega328p/README.md</c>: the firmware as machine code, its two converters to the bit, the
/// switches, the charge pump of the enable line, and the fixture with its tube. Time is the processor's cycles. For one thread.
/// </summary>
internal sealed class AtmegaBoard : ISpiBus, IDisposable
{
    public const int FrequencyHertz = 16_000_000;

    /// <summary>The enable relay lets go so long after the last edge of its line, at the most (worst case of <c>firmware-notes/wiring.md</c>).</summary>
    public const long PumpHoldMicroseconds = 20_695;

    // With other tolerances it may let go between two edges that are further apart than this (same table).
    private const long LongestEdgeGapMicroseconds = 8_386;

    // Fuses CKSEL 111 and SUT 11: 16 384 clocks and 65 ms (data sheet DS40002061, table 9-4).
    private const long StartUpCycles = 16_384 + 65 * (FrequencyHertz / 1000);

    private const double ReferenceVolts = 4.096;
    private const double LogicVolts = 5;
    private const int LatchPin = 0, AdcSelectPin = 1, DacSelectPin = 2;
    private const int EnablePin = 0, SocketPin = 1;
    private const int StopPin = 2, HeaterPin = 4, RailPin = 5;
    private const byte SelectsPulledUp = 1 << AdcSelectPin | 1 << DacSelectPin;
    private const int CyclesPerSlice = 1600;
    private const ushort JumpToItself = 0xCFFF;

    private readonly Mcp4922 _dac;
    private readonly Mcp3208 _adc;
    private readonly AvrPort _portB, _portC;
    private readonly List<byte> _sent = [];
    private long _edgeAt = long.MinValue / 2;
    private bool? _stopLevel;
    private uint _hungAt;
    private ushort _wordThere;

    public AtmegaBoard(ReadOnlySpan<byte> code, BenchCircuit circuit)
    {
        Circuit = circuit;
        Machine = new(code, FrequencyHertz);
        _dac = new(Redrive);
        _adc = new((channel, cycle) => PinVolts(channel, cycle), ReferenceVolts);
        Spi = new(Machine, this);
        Usart = new(Machine, _sent.Add);
        _portB = new(Machine, Registers.PINB, SelectsPulledUp, PortBChanged);
        _portC = new(Machine, Registers.PINC, 0, PortCChanged);
        _ = new AvrPort(Machine, Registers.PIND, 0, PortDChanged);
        Machine.OnReset(() =>
        {
            _stopLevel = null;
            if (_wordThere != 0) Machine.Flash(_hungAt) = _wordThere;
            _wordThere = 0;
            Circuit.NoteRestart(Now, Reason(Machine[Registers.MCUSR]));
        });
        Machine.StartUpCycles = StartUpCycles;
        Circuit.NoteRestart(0, ResetReason.PowerOn);
    }

    public AvrMachine Machine { get; }
    public AvrSpi Spi { get; }
    public AvrUsart Usart { get; }
    public BenchCircuit Circuit { get; }
    public DacOutput Dac => _dac.A;
    public long Conversions => _adc.Conversions;

    /// <summary>Bench time in microseconds.</summary>
    public long Now => Machine.Cycle / Machine.CyclesPerMicrosecond;

    /// <summary>DOUT of the converter hangs in the air and a resistor pulls MISO up.</summary>
    public bool AdcOpen { get; set; }

    /// <summary>What a chip was asked beyond its data sheet, the first of each kind; empty for a good firmware.</summary>
    public SortedSet<string> Abuses { get; } = [];

    /// <summary>Told of each sample the converter takes: channel, cycle, and the voltage on the scale of the converter.</summary>
    public Action<RigChannel, long, double>? Sampled { get; set; }

    /// <summary>The drive amplifier is held on by edges of the enable line.</summary>
    public bool Enabled { get; private set; }

    public void RunTo(long cycle)
    {
        while (Machine.Cycle < cycle)
        {
            Watch();
            Machine.RunTo(Math.Min(cycle, Machine.Cycle + CyclesPerSlice));
        }
        Watch();
    }

    /// <summary>Bytes that the firmware has sent since the last call.</summary>
    public byte[] TakeSent()
    {
        byte[] sent = [.. _sent];
        _sent.Clear();
        return sent;
    }

    public void Restart(ResetReason reason)
    {
        if (reason is ResetReason.PowerOn or ResetReason.BrownOut) _dac.PowerOn();
        Machine.Reset(reason);
    }

    /// <summary>Catches the main loop in an endless loop of its own, interrupts still enabled; the next reset puts things right again.</summary>
    public void Hang()
    {
        while (!Machine.InterruptsEnabled) Machine.RunTo(Machine.Cycle + 1);
        _hungAt = Machine.ProgramCounter;
        _wordThere = Machine.Flash(_hungAt);
        Machine.Flash(_hungAt) = JumpToItself;
    }

    public void Dispose() => Machine.Dispose();

    byte ISpiBus.Exchange(byte sent, long startCycle, int cyclesPerBit)
    {
        if (!_portB[AdcSelectPin] && !_portB[DacSelectPin]) Abuses.Add("both converters were selected at once");
        // Data sheet DS21298E, timing: fCLK at most 2.0 MHz at 5 V.
        if (!_portB[AdcSelectPin] && FrequencyHertz / cyclesPerBit > 2_000_000) Abuses.Add("the MCP3208 was clocked above 2 MHz");
        var received = 0;
        for (var bit = 0; bit < 8; bit++)
        {
            var data = (sent >> (7 - bit) & 1) != 0;
            received = received << 1 | (AdcOpen || (_adc.Output ?? true) ? 1 : 0);
            _dac.Clock(data);
            _adc.Rise(data);
            _adc.Fall(startCycle + (bit + 1) * cyclesPerBit);
        }
        return (byte)received;
    }

    private static ResetReason Reason(byte flags) =>
        (flags & Registers.WDRF) != 0 ? ResetReason.Watchdog
        : (flags & Registers.BORF) != 0 ? ResetReason.BrownOut
        : (flags & Registers.EXTRF) != 0 ? ResetReason.External : ResetReason.PowerOn;

    private double PinVolts(int channel, long cycle)
    {
        if (channel >= RigChannels.Count)
        {
            Abuses.Add($"input {channel} of the MCP3208 was converted; nothing is connected there");
            return 0;
        }
        var steps = Circuit.StepsAt(cycle / Machine.CyclesPerMicrosecond, (RigChannel)channel);
        Sampled?.Invoke((RigChannel)channel, cycle, steps);
        return steps * ReferenceVolts / 4096;
    }

    private void PortBChanged(int pin, bool high)
    {
        switch (pin)
        {
            case LatchPin:
                _dac.Latch(!high);
                break;
            case AdcSelectPin:
                _adc.Select(!high);
                break;
            case DacSelectPin:
                _dac.Select(!high);
                break;
        }
    }

    private void PortCChanged(int pin, bool high)
    {
        if (pin == EnablePin)
        {
            if (Enabled && Now - _edgeAt > LongestEdgeGapMicroseconds) Abuses.Add("the enable line stood still for too long to hold its relay");
            _edgeAt = Now;
            if (!Enabled) Watch();
        }
        else if (pin is SocketPin or SocketPin + 1)
        {
            Circuit.SelectSocket(Now, (_portC[SocketPin] ? 1 : 0) | (_portC[SocketPin + 1] ? 2 : 0));
        }
    }

    private void PortDChanged(int pin, bool high)
    {
        if (pin == HeaterPin) Circuit.SwitchHeater(Now, high);
        else if (pin == RailPin) Circuit.SwitchRail(Now, high);
    }

    private void Watch()
    {
        var pressed = Circuit.EmergencyStopPressed(Now);
        if (pressed != _stopLevel)
        {
            _stopLevel = pressed;
            Machine.DrivePin('D', Registers.PIND, StopPin, pressed);
        }
        var enabled = Now - _edgeAt < PumpHoldMicroseconds;
        if (enabled == Enabled) return;
        Enabled = enabled;
        Redrive(enabled ? Now : Math.Max(Circuit.Latest, _edgeAt + PumpHoldMicroseconds));
    }

    private void Redrive() => Redrive(Now);

    // Without its relay the grid is pulled to the negative rail, below the lowest drive; code 0 is as low as the scale goes.
    private void Redrive(long now)
    {
        var steps = (int)Math.Round(_dac.A.Volts(ReferenceVolts, LogicVolts) * 4096 / ReferenceVolts);
        Circuit.Drive(now, Enabled ? Math.Min(steps, 4095) : 0);
    }
}
