using System.Runtime.InteropServices;

namespace SweepRig.Rigs.Simulated.Pty;

/// <summary>The few system calls of a pseudo-terminal (POSIX.1-2017: posix_openpt, grantpt, unlockpt, tcgetattr, poll). Constants are those of Linux.</summary>
internal static partial class Posix
{
    public const int ReadWrite = 2;
    public const int NoControllingTerminal = 0x100;
    public const int NonBlocking = 0x800;
    public const int CloseOnExec = 0x80000;

    public const short PollIn = 1;
    public const short PollOut = 4;
    public const short PollError = 8;
    public const short PollHangUp = 16;

    public const int Interrupted = 4;
    public const int TryAgain = 11;

    /// <summary>Room for any libc's struct termios, which is passed through without being looked into.</summary>
    public const int TermiosRoom = 256;

    [StructLayout(LayoutKind.Sequential)]
    public struct PollEntry
    {
        public int Handle;
        public short Events;
        public short Returned;
    }

    [LibraryImport("libc", EntryPoint = "posix_openpt", SetLastError = true)]
    public static partial int OpenMaster(int flags);

    [LibraryImport("libc", EntryPoint = "grantpt", SetLastError = true)]
    public static partial int Grant(int master);

    [LibraryImport("libc", EntryPoint = "unlockpt", SetLastError = true)]
    public static partial int Unlock(int master);

    [LibraryImport("libc", EntryPoint = "ptsname_r", SetLastError = true)]
    public static partial int SlaveName(int master, Span<byte> name, nuint length);

    [LibraryImport("libc", EntryPoint = "open", SetLastError = true, StringMarshalling = StringMarshalling.Utf8)]
    public static partial int Open(string path, int flags);

    [LibraryImport("libc", EntryPoint = "close", SetLastError = true)]
    public static partial int Close(int handle);

    [LibraryImport("libc", EntryPoint = "pipe2", SetLastError = true)]
    public static partial int OpenPipe(Span<int> ends, int flags);

    [LibraryImport("libc", EntryPoint = "poll", SetLastError = true)]
    public static partial int Poll(Span<PollEntry> entries, nuint count, int timeoutMilliseconds);

    [LibraryImport("libc", EntryPoint = "read", SetLastError = true)]
    public static partial nint Read(int handle, Span<byte> buffer, nuint length);

    [LibraryImport("libc", EntryPoint = "write", SetLastError = true)]
    public static partial nint Write(int handle, ReadOnlySpan<byte> buffer, nuint length);

    [LibraryImport("libc", EntryPoint = "tcgetattr", SetLastError = true)]
    public static partial int GetTerminal(int handle, Span<byte> termios);

    [LibraryImport("libc", EntryPoint = "tcsetattr", SetLastError = true)]
    public static partial int SetTerminal(int handle, int when, ReadOnlySpan<byte> termios);

    [LibraryImport("libc", EntryPoint = "cfmakeraw")]
    public static partial void MakeRaw(Span<byte> termios);

    /// <summary>What the last failed call complained of.</summary>
    public static IOException Failure(string what) =>
        new($"{what}: {Marshal.GetPInvokeErrorMessage(Marshal.GetLastPInvokeError())}.");
}
