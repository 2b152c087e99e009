using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using SweepRig.Domain.Rigs;

namespace SweepRig.EndToEnd.Tests.Emulated.Avr;

/// <summary>
/// An ATmega328P under libsimavr 1.6: processor, timers, watchdog and EEPROM are the library's; SPI, USART and pins are modelled here, as the library's
/// are too coarse (a byte on the SPI takes 100 us at any clock; a byte on the USART has 11 bits and a queue of 64). For one thread.
/// </summary>
internal sealed unsafe class AvrMachine : IDisposable
{
    /// <summary>cpu_Running of sim_avr.h.</summary>
    public const int Running = 2;

    private const string Core = "atmega328p";
    private const int Sleeping = 3;

    // Cycles between two looks at the timers; at the library's own 1 it looks after each instruction and runs at half the speed.
    private const ulong LongestRun = 1600;

    private readonly nint _avr;
    private readonly byte* _core;
    private readonly byte* _data;
    private readonly nint _runHook;
    private readonly delegate* unmanaged[Cdecl]<nint, void> _resetHook;
    private readonly List<GCHandle> _handles = [];
    private readonly Dictionary<ICycleTimer, nint> _timers = new(ReferenceEqualityComparer.Instance);
    private readonly List<Action> _onReset = [];
    private readonly Deadline _deadline = new();
    private bool _disposed;

    [ThreadStatic]
    private static AvrMachine? s_running;

    private Exception? _fault;
    private bool _wasReset;

    /// <param name="code">Flash from address 0.</param>
    /// <param name="frequencyHertz">Clock of the processor.</param>
    /// <param name="seed">Of what the SRAM holds when power comes, which is anything.</param>
    public AvrMachine(ReadOnlySpan<byte> code, int frequencyHertz, int seed = 1)
    {
        FrequencyHertz = frequencyHertz;
        _avr = Simavr.Make(Core);
        if (_avr == 0) throw new InvalidOperationException($"libsimavr knows no {Core}. Install Debian's libsimavr2 1.6.");
        AvrLayout.ThrowIfOther(_avr);
        _ = Simavr.Init(_avr);
        AvrLayout.ThrowIfStrange(_avr);
        _core = (byte*)_avr;
        _data = *(byte**)(_core + AvrLayout.Data);
        _runHook = *(nint*)(_core + AvrLayout.RunHook);
        _resetHook = *(delegate* unmanaged[Cdecl]<nint, void>*)(_core + AvrLayout.ResetHook);
        // The watchdog and EEPROM take their times from it when they are set, so it comes before any code.
        *(uint*)(_core + AvrLayout.Frequency) = (uint)frequencyHertz;
        *(delegate* unmanaged[Cdecl]<nint, ulong, void>*)(_core + AvrLayout.SleepHook) = &SleepNot;
        *(delegate* unmanaged[Cdecl]<nint, void>*)(_core + AvrLayout.ResetHook) = &NoteReset;
        *(ulong*)(_core + AvrLayout.RunCycleLimit) = LongestRun;
        fixed (byte* first = code) Simavr.LoadCode(_avr, first, (uint)code.Length, 0);
        ScrambleMemory(seed);
    }

    public int FrequencyHertz { get; }

    public int CyclesPerMicrosecond => FrequencyHertz / 1_000_000;

    /// <summary>Cycles since power came.</summary>
    public long Cycle => (long)*(ulong*)(_core + AvrLayout.Cycle);

    public uint ProgramCounter => *(uint*)(_core + AvrLayout.ProgramCounter);

    /// <summary>The I bit of the status register: false within an interrupt and while a program holds interrupts off.</summary>
    public bool InterruptsEnabled => _core[AvrLayout.StatusRegister + 7] != 0;

    /// <summary>Resets so far that the processor's own watchdog made.</summary>
    public int WatchdogResets { get; private set; }

    /// <summary>A byte of the data space, without what reading it would set off.</summary>
    public ref byte this[ushort address] => ref _data[address];

    /// <summary>
    /// Cycles between a reset and the first instruction, which the fuses SUT and CKSEL choose (data sheet DS40002061, section 9.3). Pins are inputs
    /// all that time. Not counted when power comes. Default 0.
    /// </summary>
    public long StartUpCycles { get; set; }

    /// <summary>Called at each reset, whatever made it, before the start-up time.</summary>
    public void OnReset(Action action) => _onReset.Add(action);

    /// <summary>Runs until a cycle is reached; an instruction or two may run past it.</summary>
    /// <exception cref="InvalidOperationException">The program did what the processor cannot do, or a model behind a register failed.</exception>
    public void RunTo(long cycle)
    {
        s_running = this;
        try
        {
            while (Cycle < cycle)
            {
                // Each instruction that feeds the watchdog sets the library's own limit back, so a timer of ours must end the run.
                After(cycle - Cycle, _deadline);
                var byWatchdog = *(nint*)(_core + AvrLayout.RunHook) != _runHook;
                var state = Simavr.Run(_avr);
                if (_fault is { } fault) throw new InvalidOperationException($"A model behind the pins failed: {fault.Message}", fault);
                if (_wasReset)
                {
                    if (byWatchdog) WatchdogResets++;
                    AfterReset();
                }
                else if (state is not (Running or Sleeping))
                {
                    throw new InvalidOperationException($"The processor stopped in state {state} at program address 0x{ProgramCounter:X4}, cycle {Cycle}.");
                }
            }
        }
        finally
        {
            s_running = null;
        }
    }

    /// <summary>A reset from outside. Registers go to their initial values; the SRAM keeps what it has unless the supply failed.</summary>
    public void Reset(ResetReason reason)
    {
        var outer = s_running;
        s_running = this;
        Simavr.Reset(_avr);
        s_running = outer;
        _data[Registers.MCUSR] = reason switch
        {
            ResetReason.PowerOn => Registers.PORF,
            ResetReason.External => Registers.EXTRF,
            ResetReason.BrownOut => Registers.BORF,
            _ => throw new ArgumentOutOfRangeException(nameof(reason), reason, "The watchdog resets the machine by itself, when its program hangs."),
        };
        if (reason is ResetReason.PowerOn or ResetReason.BrownOut) ScrambleMemory((int)Cycle);
        AfterReset();
    }

    /// <summary>A word of flash, by byte address; a test may put another instruction there.</summary>
    public ref ushort Flash(uint address) => ref *(ushort*)(*(byte**)(_core + AvrLayout.Flash) + address);

    /// <summary>Puts a model behind a register for reading. What stood there is gone.</summary>
    public void OnRead(ushort address, IRegister register)
    {
        var entry = Entry(address);
        *(nint*)(entry + AvrLayout.IoReadParameter) = Keep(register);
        *(delegate* unmanaged[Cdecl]<nint, ushort, nint, byte>*)(entry + AvrLayout.IoRead) = &ReadRegister;
    }

    /// <summary>Makes reading a register no more than reading memory. The library's own USART sleeps when its status is asked for.</summary>
    public void ReadPlain(ushort address) => *(nint*)(Entry(address) + AvrLayout.IoRead) = 0;

    /// <summary>Puts a model behind a register for writing.</summary>
    /// <returns>What stood there, for a model that passes on.</returns>
    public OriginalWrite OnWrite(ushort address, IRegister register)
    {
        var entry = Entry(address);
        var original = new OriginalWrite(
            *(delegate* unmanaged[Cdecl]<nint, ushort, byte, nint, void>*)(entry + AvrLayout.IoWrite), *(nint*)(entry + AvrLayout.IoWriteParameter));
        *(nint*)(entry + AvrLayout.IoWriteParameter) = Keep(register);
        *(delegate* unmanaged[Cdecl]<nint, ushort, byte, nint, void>*)(entry + AvrLayout.IoWrite) = &WriteRegister;
        return original;
    }

    public void PassOn(OriginalWrite original, ushort address, byte value) => original.Function(_avr, address, value, original.Parameter);

    /// <summary>Sets a timer, or sets it anew.</summary>
    public void After(long cycles, ICycleTimer timer)
    {
        if (!_timers.TryGetValue(timer, out var handle)) _timers[timer] = handle = Keep(timer);
        Simavr.StartTimer(_avr, (ulong)Math.Max(1, cycles), &TimerDue, handle);
    }

    public void Cancel(ICycleTimer timer)
    {
        if (_timers.TryGetValue(timer, out var handle)) Simavr.CancelTimer(_avr, &TimerDue, handle);
    }

    /// <param name="vector">Address of the interrupt in its module.</param>
    public void Raise(nint vector) => _ = Simavr.RaiseInterrupt(_avr, vector);

    public void Clear(nint vector) => Simavr.ClearInterrupt(_avr, vector);

    /// <summary>Level of the one input pin of a port that something on the board drives; it wins over the pull-up within.</summary>
    public void DrivePin(char port, ushort pinRegister, int pin, bool high)
    {
        // avr_ioport_external_t: name in the 7 lowest bits, then 8 bits of mask and 8 of value.
        var external = 1ul << pin << 7 | (high ? 1ul << pin << 15 : 0);
        _ = Simavr.Control(_avr, Simavr.Request("iop" + port), &external);
        Simavr.RaiseLine(Simavr.Line(_avr, Simavr.Request("iog" + port), pin), high ? 1u : 0);
        // A level that has not changed is told to nobody, but a reset has wiped it out of the register.
        _data[pinRegister] = (byte)((_data[pinRegister] & ~(1 << pin)) | (high ? 1 << pin : 0));
    }

    public void Dispose()
    {
        if (_disposed) return;
        _disposed = true;
        Simavr.Terminate(_avr);
        foreach (var handle in _handles) handle.Free();
    }

    private void AfterReset()
    {
        _wasReset = false;
        // A reset throws all timers away and sets the limit back.
        *(ulong*)(_core + AvrLayout.RunCycleLimit) = LongestRun;
        foreach (var action in _onReset) action();
        *(ulong*)(_core + AvrLayout.Cycle) += (ulong)StartUpCycles;
        // Counts from the end of the start-up time if it is on, as it is after a reset by itself.
        _ = Simavr.Control(_avr, Simavr.Request("wdtr"), null);
    }

    private void ScrambleMemory(int seed) => new Random(seed).NextBytes(new Span<byte>(_data + Registers.SramStart, Registers.SramEnd - Registers.SramStart + 1));

    private sealed class Deadline : ICycleTimer
    {
        public long Due(long cycle) => 0;
    }

    private byte* Entry(ushort address) => _core + AvrLayout.Io + (address - 32) * AvrLayout.IoStride;

    private nint Keep(object target)
    {
        var handle = GCHandle.Alloc(target);
        _handles.Add(handle);
        return GCHandle.ToIntPtr(handle);
    }

    // An exception must not run through the library; it waits until the library has returned.
    private static void Fail(Exception exception)
    {
        if (s_running is { } machine) machine._fault ??= exception;
    }

    [UnmanagedCallersOnly(CallConvs = [typeof(CallConvCdecl)])]
    private static byte ReadRegister(nint avr, ushort address, nint parameter)
    {
        try
        {
            return ((IRegister)GCHandle.FromIntPtr(parameter).Target!).Read(address);
        }
        catch (Exception exception)
        {
            Fail(exception);
            return 0;
        }
    }

    [UnmanagedCallersOnly(CallConvs = [typeof(CallConvCdecl)])]
    private static void WriteRegister(nint avr, ushort address, byte value, nint parameter)
    {
        try
        {
            ((IRegister)GCHandle.FromIntPtr(parameter).Target!).Write(address, value);
        }
        catch (Exception exception)
        {
            Fail(exception);
        }
    }

    [UnmanagedCallersOnly(CallConvs = [typeof(CallConvCdecl)])]
    private static ulong TimerDue(nint avr, ulong when, nint parameter)
    {
        try
        {
            return (ulong)((ICycleTimer)GCHandle.FromIntPtr(parameter).Target!).Due((long)when);
        }
        catch (Exception exception)
        {
            Fail(exception);
            return 0;
        }
    }

    [UnmanagedCallersOnly(CallConvs = [typeof(CallConvCdecl)])]
    private static void SleepNot(nint avr, ulong cycles)
    {
        // Who paces the machine waits outside; the library would sleep here.
    }

    [UnmanagedCallersOnly(CallConvs = [typeof(CallConvCdecl)])]
    private static void NoteReset(nint avr)
    {
        if (s_running is not { } machine) return;
        machine._wasReset = true;
        if (machine._resetHook is not null) machine._resetHook(avr);
    }
}

/// <summary>A write function of the library, with its module.</summary>
internal readonly unsafe struct OriginalWrite(delegate* unmanaged[Cdecl]<nint, ushort, byte, nint, void> function, nint parameter)
{
    public delegate* unmanaged[Cdecl]<nint, ushort, byte, nint, void> Function => function;

    /// <summary>The module's own structure.</summary>
    public nint Parameter => parameter;
}
