namespace SweepRig.EndToEnd.Tests.Emulated.Avr;

/// <summary>Called when the level of a pin that the processor may drive has changed.</summary>
internal delegate void PinChanged(int pin, bool high);

/// <summary>
/// One port as seen from outside: a pin that is an output has the level of PORTx, any other that of the resistor on the board. After a reset all pins are
/// inputs, so the board's resistors decide (data sheet DS40002061, section 14.2.1); the library tells nobody of that.
/// </summary>
internal sealed class AvrPort : IRegister
{
    private readonly AvrMachine _machine;
    private readonly ushort _pinRegister;
    private readonly byte _pulledUp;
    private readonly PinChanged _changed;
    private readonly OriginalWrite _pin, _ddr, _port;
    private byte _levels;

    /// <param name="machine">Whose port.</param>
    /// <param name="pinRegister">Address of PINx; DDRx and PORTx follow it.</param>
    /// <param name="pulledUp">Bit n set: a resistor on the board pulls pin n up; otherwise down.</param>
    /// <param name="changed">Told of each change, lowest pin first.</param>
    public AvrPort(AvrMachine machine, ushort pinRegister, byte pulledUp, PinChanged changed)
    {
        (_machine, _pinRegister, _pulledUp, _changed) = (machine, pinRegister, pulledUp, changed);
        _levels = pulledUp;
        _pin = machine.OnWrite(pinRegister, this);
        _ddr = machine.OnWrite((ushort)(pinRegister + 1), this);
        _port = machine.OnWrite((ushort)(pinRegister + 2), this);
        machine.OnReset(Update);
    }

    public bool this[int pin] => (_levels >> pin & 1) != 0;

    byte IRegister.Read(ushort address) => throw new InvalidOperationException("SweepRig bug: a port is read by the library.");

    void IRegister.Write(ushort address, byte value)
    {
        _machine.PassOn(address == _pinRegister ? _pin : address == _pinRegister + 1 ? _ddr : _port, address, value);
        Update();
    }

    private void Update()
    {
        var outputs = _machine[(ushort)(_pinRegister + 1)];
        var levels = (byte)((_machine[(ushort)(_pinRegister + 2)] & outputs) | (_pulledUp & ~outputs));
        var changes = levels ^ _levels;
        _levels = levels;
        for (var pin = 0; changes != 0; pin++, changes >>= 1)
            if ((changes & 1) != 0) _changed(pin, (levels >> pin & 1) != 0);
    }
}
