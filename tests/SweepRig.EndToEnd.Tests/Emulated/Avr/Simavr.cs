using System.Runtime.InteropServices;

namespace SweepRig.EndToEnd.Tests.Emulated.Avr;

/// <summary>The functions of libsimavr that are used here (Debian's libsimavr2; header sim_avr.h and those it names).</summary>
internal static unsafe partial class Simavr
{
    private const string Library = "libsimavr.so.2";

    [LibraryImport(Library, EntryPoint = "avr_make_mcu_by_name", StringMarshalling = StringMarshalling.Utf8)]
    public static partial nint Make(string name);

    [LibraryImport(Library, EntryPoint = "avr_init")]
    public static partial int Init(nint avr);

    [LibraryImport(Library, EntryPoint = "avr_reset")]
    public static partial void Reset(nint avr);

    [LibraryImport(Library, EntryPoint = "avr_run")]
    public static partial int Run(nint avr);

    [LibraryImport(Library, EntryPoint = "avr_terminate")]
    public static partial void Terminate(nint avr);

    [LibraryImport(Library, EntryPoint = "avr_loadcode")]
    public static partial void LoadCode(nint avr, byte* code, uint size, uint address);

    [LibraryImport(Library, EntryPoint = "avr_ioctl")]
    public static partial int Control(nint avr, uint request, void* parameter);

    [LibraryImport(Library, EntryPoint = "avr_cycle_timer_register")]
    public static partial void StartTimer(nint avr, ulong cycles, delegate* unmanaged[Cdecl]<nint, ulong, nint, ulong> timer, nint parameter);

    [LibraryImport(Library, EntryPoint = "avr_cycle_timer_cancel")]
    public static partial void CancelTimer(nint avr, delegate* unmanaged[Cdecl]<nint, ulong, nint, ulong> timer, nint parameter);

    [LibraryImport(Library, EntryPoint = "avr_raise_interrupt")]
    public static partial int RaiseInterrupt(nint avr, nint vector);

    [LibraryImport(Library, EntryPoint = "avr_clear_interrupt")]
    public static partial void ClearInterrupt(nint avr, nint vector);

    [LibraryImport(Library, EntryPoint = "avr_io_getirq")]
    public static partial nint Line(nint avr, uint request, int index);

    [LibraryImport(Library, EntryPoint = "avr_raise_irq")]
    public static partial void RaiseLine(nint line, uint value);

    /// <summary>A request number as AVR_IOCTL_DEF of sim_io.h makes it.</summary>
    public static uint Request(string four) => ((uint)four[0] << 24) | ((uint)four[1] << 16) | ((uint)four[2] << 8) | four[3];
}
