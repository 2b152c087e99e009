using System.Runtime.InteropServices;
using Microsoft.Win32.SafeHandles;
using SweepRig.Rigs.Link;

namespace SweepRig.Rigs.Serial;

/// <summary>
/// A second handle on a serial device that proves what it is and keeps other hosts off it: an advisory lock (flock) on the device lasts as long as the
/// handle. The exclusive mode of the terminal (TIOCEXCL), which the port sets itself, does not hold off a privileged process. Linux only.
/// </summary>
internal static partial class SerialDevice
{
    // Linux, asm-generic/fcntl.h and sys/file.h.
    private const int ReadWrite = 0x2;
    private const int NoControllingTerminal = 0x100;
    private const int NonBlocking = 0x800;
    private const int CloseOnExec = 0x80000;
    private const int LockExclusive = 2;
    private const int LockNonBlocking = 4;

    /// <returns>The handle, locked. Disposing it lets others in again.</returns>
    /// <exception cref="RigPortException">It is missing, no serial port, in use, or not permitted; the message says which and what to do.</exception>
    public static SafeFileHandle Claim(string path)
    {
        var descriptor = Open(path, ReadWrite | NoControllingTerminal | NonBlocking | CloseOnExec);
        if (descriptor < 0) throw SerialFaults.Of(path, Marshal.GetLastPInvokeError());
        var handle = new SafeFileHandle(descriptor, ownsHandle: true);
        try
        {
            if (IsTerminal(descriptor) == 0) throw SerialFaults.Of(path, SerialFaults.NoTerminal);
            if (Lock(descriptor, LockExclusive | LockNonBlocking) != 0) throw SerialFaults.Of(path, Marshal.GetLastPInvokeError());
            return handle;
        }
        catch
        {
            handle.Dispose();
            throw;
        }
    }

    [LibraryImport("libc", EntryPoint = "open", SetLastError = true, StringMarshalling = StringMarshalling.Utf8)]
    private static partial int Open(string path, int flags);

    [LibraryImport("libc", EntryPoint = "isatty", SetLastError = true)]
    private static partial int IsTerminal(int descriptor);

    [LibraryImport("libc", EntryPoint = "flock", SetLastError = true)]
    private static partial int Lock(int descriptor, int operation);
}
