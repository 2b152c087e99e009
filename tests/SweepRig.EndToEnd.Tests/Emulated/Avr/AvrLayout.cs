using System.Runtime.InteropServices;

namespace SweepRig.EndToEnd.Tests.Emulated.Avr;

/// <summary>
/// Where things lie in the structures of libsimavr 1.6 on a 64-bit machine, as <c>offsetof</c> gives them for Debian's headers 1.6+dfsg-3. They are no
/// interface and differ in other versions, so <see cref="ThrowIfOther"/> compares the core's known figures before anything is written.
/// </summary>
internal static unsafe class AvrLayout
{
    public const int State = 60;
    public const int Frequency = 64;
    public const int Cycle = 80;
    public const int RunCycleLimit = 96;
    public const int ResetHook = 128;
    public const int RunHook = 160;
    public const int SleepHook = 168;
    public const int StatusRegister = 192;
    public const int ProgramCounter = 204;
    public const int Io = 216;
    public const int IoStride = 40;
    public const int IoReadParameter = 8;
    public const int IoRead = 16;
    public const int IoWriteParameter = 24;
    public const int IoWrite = 32;
    public const int Flash = 11712;
    public const int Data = 11720;

    /// <summary>In the SPI module: its interrupt.</summary>
    public const int SpiInterrupt = 112;

    /// <summary>In the USART module: its three interrupts.</summary>
    public const int ReceiveInterrupt = 136;
    public const int TransmitInterrupt = 240;
    public const int EmptyInterrupt = 344;

    private const int RamEnd = 10;
    private const int FlashEnd = 12;
    private const int Signature = 21;

    /// <exception cref="InvalidOperationException">The library is not the one that these figures belong to.</exception>
    public static void ThrowIfOther(nint avr)
    {
        var core = (byte*)avr;
        // The library has one core for the 328 and the 328P. ATmega48A/PA/88A/PA/168A/PA/328/P data sheet (DS40002061): figure 8-3 (SRAM to 0x08FF), table 8-1 (32 KB of flash), table 28-9 (signature 1E 95 0F).
        var known = Marshal.PtrToStringUTF8(*(nint*)core) == "atmega328"
            && *(ushort*)(core + RamEnd) == 0x8FF
            && *(uint*)(core + FlashEnd) == 0x7FFF
            && core[Signature] == 0x1E && core[Signature + 1] == 0x95 && core[Signature + 2] == 0x0F;
        if (!known)
            throw new InvalidOperationException(
                "The emulator library is not libsimavr 1.6: its structures lie elsewhere, so nothing can be measured with it. Install Debian's libsimavr2 1.6.");
    }

    /// <summary>After initialisation: the places that <see cref="ThrowIfOther"/> could not see yet.</summary>
    /// <exception cref="InvalidOperationException">As above.</exception>
    public static void ThrowIfStrange(nint avr)
    {
        var core = (byte*)avr;
        // avr_init leaves a running core at 1 MHz with its own run and sleep functions; the power-on flag stands in MCUSR.
        var known = *(int*)(core + State) == AvrMachine.Running
            && *(uint*)(core + Frequency) == 1_000_000
            && *(ulong*)(core + RunCycleLimit) == 1
            && *(nint*)(core + RunHook) == NativeLibrary.GetExport(NativeLibrary.Load("libsimavr.so.2"), "avr_callback_run_raw")
            && *(*(byte**)(core + Data) + Registers.MCUSR) == 1;
        if (!known) throw new InvalidOperationException("The emulator library is not libsimavr 1.6: a fresh core looks different. Install Debian's libsimavr2 1.6.");
    }
}
