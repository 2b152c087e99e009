namespace SweepRig.EndToEnd.Tests.Emulated.Avr;

/// <summary>What stands behind I/O registers. Called on the thread that runs the machine, in the middle of an instruction.</summary>
internal interface IRegister
{
    byte Read(ushort address);

    void Write(ushort address, byte value);
}

/// <summary>Something to be done at a cycle.</summary>
internal interface ICycleTimer
{
    /// <param name="cycle">When it was due; an instruction may have run past it.</param>
    /// <returns>The cycle of the next time, or 0 for none.</returns>
    long Due(long cycle);
}
