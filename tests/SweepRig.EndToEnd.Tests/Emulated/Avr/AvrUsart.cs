namespace SweepRig.EndToEnd.Tests.Emulated.Avr;

/// <summary>
/// The USART, asynchronous, 8 data bits, no parity, 1 stop bit (data sheet DS40002061, section 20). A byte takes ten bit times each way. The receiver
/// holds two characters and a third in its shift register; one more is lost and sets DOR (section 20.7.4). The transmitter holds one and shifts one.
/// </summary>
internal sealed class AvrUsart : IRegister
{
    // UCSR0A and UCSR0B, sections 20.11.2 and 20.11.3.
    private const byte RXC = 0x80;
    private const byte TXC = 0x40;
    private const byte UDRE = 0x20;
    private const byte DOR = 0x08;
    private const byte U2X = 0x02;
    private const byte Writable = 0x03;
    private const byte RXEN = 0x10;
    private const byte TXEN = 0x08;
    private const int BitsPerByte = 10;
    private const int ReceiverHolds = 3;

    private readonly AvrMachine _machine;
    private readonly Action<byte> _transmitted;
    private readonly nint _receiveInterrupt, _transmitInterrupt, _emptyInterrupt;
    private readonly Queue<byte> _line = new();
    private readonly Queue<byte> _held = new();
    private readonly Receiving _receiving;
    private readonly Transmitting _transmitting;
    private byte _shifted, _waiting;
    private bool _isShifting, _hasWaiting, _listens;

    /// <param name="machine">Whose USART.</param>
    /// <param name="transmitted">Takes each byte when its stop bit has gone out.</param>
    public AvrUsart(AvrMachine machine, Action<byte> transmitted)
    {
        (_machine, _transmitted) = (machine, transmitted);
        (_receiving, _transmitting) = (new(this), new(this));
        var module = machine.OnWrite(Registers.UDR0, this).Parameter;
        (_receiveInterrupt, _transmitInterrupt, _emptyInterrupt) =
            (module + AvrLayout.ReceiveInterrupt, module + AvrLayout.TransmitInterrupt, module + AvrLayout.EmptyInterrupt);
        machine.OnRead(Registers.UDR0, this);
        machine.ReadPlain(Registers.UCSR0A);
        _ = machine.OnWrite(Registers.UCSR0A, this);
        _ = machine.OnWrite(Registers.UCSR0B, this);
        machine.OnReset(Reset);
        Reset();
    }

    /// <summary>Bytes that came while the receiver was full, from the first byte on that the program took after a reset; before that it is still starting.</summary>
    public long Overruns { get; private set; }

    /// <summary>The program has switched the receiver on.</summary>
    public bool Receives => (_machine[Registers.UCSR0B] & RXEN) != 0;

    /// <summary>Bytes on the line that have not arrived yet.</summary>
    public int OnTheLine => _line.Count;

    public int CyclesPerByte
    {
        get
        {
            var divider = _machine[Registers.UBRR0L] | _machine[Registers.UBRR0H] << 8;
            // Table 20-1: baud = clock / (8 (UBRR + 1)) with U2X, / (16 (UBRR + 1)) without.
            return BitsPerByte * (divider + 1) * ((_machine[Registers.UCSR0A] & U2X) != 0 ? 8 : 16);
        }
    }

    /// <summary>Puts a byte on the line; it arrives when those before it have.</summary>
    public void Send(byte value)
    {
        _line.Enqueue(value);
        if (_line.Count == 1) _machine.After(CyclesPerByte, _receiving);
    }

    byte IRegister.Read(ushort address)
    {
        _listens = true;
        if (_held.Count == 0) return 0;
        var value = _held.Dequeue();
        _machine[Registers.UCSR0A] &= unchecked((byte)~(RXC | DOR));
        _machine.Clear(_receiveInterrupt);
        if (_held.Count > 0) _machine.Raise(_receiveInterrupt);
        return value;
    }

    void IRegister.Write(ushort address, byte value)
    {
        if (address == Registers.UDR0) Transmit(value);
        else if (address == Registers.UCSR0A) WriteA(value);
        else WriteB(value);
    }

    private void WriteA(byte value)
    {
        ref var a = ref _machine[Registers.UCSR0A];
        a = (byte)((a & ~Writable) | (value & Writable));
        if ((value & TXC) == 0) return;
        a &= unchecked((byte)~TXC);
        _machine.Clear(_transmitInterrupt);
    }

    private void WriteB(byte value)
    {
        _machine[Registers.UCSR0B] = value;
        if ((value & RXEN) == 0)
        {
            _held.Clear();
            _machine[Registers.UCSR0A] &= unchecked((byte)~(RXC | DOR));
        }
        // An interrupt whose flag stands already happens as soon as it is enabled.
        var flags = _machine[Registers.UCSR0A];
        if ((flags & RXC) != 0) _machine.Raise(_receiveInterrupt);
        if ((flags & TXC) != 0) _machine.Raise(_transmitInterrupt);
        if ((flags & UDRE) != 0) _machine.Raise(_emptyInterrupt);
    }

    private void Transmit(byte value)
    {
        if ((_machine[Registers.UCSR0B] & TXEN) == 0 || (_machine[Registers.UCSR0A] & UDRE) == 0) return;
        if (_isShifting)
        {
            (_waiting, _hasWaiting) = (value, true);
            _machine[Registers.UCSR0A] &= unchecked((byte)~UDRE);
            _machine.Clear(_emptyInterrupt);
            return;
        }
        (_shifted, _isShifting) = (value, true);
        _machine.After(CyclesPerByte, _transmitting);
        _machine.Clear(_emptyInterrupt);
        _machine.Raise(_emptyInterrupt);
    }

    private long Transmitted(long cycle)
    {
        _transmitted(_shifted);
        if (!_hasWaiting)
        {
            _isShifting = false;
            _machine.Raise(_transmitInterrupt);
            return 0;
        }
        (_shifted, _hasWaiting) = (_waiting, false);
        _machine.Raise(_emptyInterrupt);
        return cycle + CyclesPerByte;
    }

    private long Received(long cycle)
    {
        var value = _line.Dequeue();
        if ((_machine[Registers.UCSR0B] & RXEN) != 0)
        {
            if (_held.Count < ReceiverHolds)
            {
                _held.Enqueue(value);
                _machine.Raise(_receiveInterrupt);
            }
            else
            {
                if (_listens) Overruns++;
                _machine[Registers.UCSR0A] |= DOR;
            }
        }
        return _line.Count > 0 ? cycle + CyclesPerByte : 0;
    }

    private void Reset()
    {
        _held.Clear();
        (_isShifting, _hasWaiting, _listens) = (false, false, false);
        _machine[Registers.UCSR0A] = UDRE;
        _machine[Registers.UCSR0B] = 0;
        // What is on the line goes on arriving; nobody listens until the receiver is enabled again.
        if (_line.Count > 0) _machine.After(CyclesPerByte, _receiving);
    }

    private sealed class Receiving(AvrUsart usart) : ICycleTimer
    {
        public long Due(long cycle) => usart.Received(cycle);
    }

    private sealed class Transmitting(AvrUsart usart) : ICycleTimer
    {
        public long Due(long cycle) => usart.Transmitted(cycle);
    }
}
