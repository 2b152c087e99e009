using System.Runtime.InteropServices;

namespace SweepRig.Service.Doctor;

/// <summary>
/// Questions to the kernel for which .NET has no call. The layouts are those of the C library on 64-bit Linux (x86-64 and AArch64 alike); each answer is read by
/// its place in the buffer.
/// </summary>
internal static partial class LinuxCalls
{
    private const int CurrentDirectory = -100;
    private const uint BasicStats = 0x7ff;
    private const ulong MountedReadOnly = 1;
    private const int TimeError = 5;
    private const int Unsynchronised = 0x40;

    public static int UserId => (int)EffectiveUser();

    /// <summary>statx(2): uid, gid and mode at 20, 24 and 28, the device that holds the file at 136 and 140.</summary>
    public static (FileOwner Owner, string Device)? Stat(string path)
    {
        Span<byte> buffer = stackalloc byte[256];
        if (StatX(CurrentDirectory, path, 0, BasicStats, buffer) != 0) return null;
        var (uid, gid) = (BitConverter.ToInt32(buffer[20..]), BitConverter.ToInt32(buffer[24..]));
        return (new(uid, gid, BitConverter.ToUInt16(buffer[28..]) & 0xfff), $"{BitConverter.ToUInt32(buffer[136..])}:{BitConverter.ToUInt32(buffer[140..])}");
    }

    /// <summary>statvfs(3): fragment size, blocks, those free for this user, files, those free for this user, flags.</summary>
    public static (long Total, long Free, long? FreeFiles, bool ReadOnly)? Disk(string path)
    {
        Span<ulong> buffer = stackalloc ulong[16];
        if (StatVfs(path, buffer) != 0) return null;
        var fragment = (long)buffer[1];
        return ((long)buffer[2] * fragment, (long)buffer[4] * fragment, buffer[5] == 0 ? null : (long)buffer[7], (buffer[9] & MountedReadOnly) != 0);
    }

    /// <summary>adjtimex(2) with nothing to adjust: the largest error in µs is its fourth word, the status its sixth.</summary>
    public static KernelClock? Clock()
    {
        Span<long> buffer = stackalloc long[32];
        buffer.Clear();
        var state = AdjustTime(buffer);
        if (state < 0) return null;
        return new(state != TimeError && ((int)buffer[5] & Unsynchronised) == 0, TimeSpan.FromMicroseconds(buffer[3]));
    }

    [LibraryImport("libc", EntryPoint = "geteuid")]
    private static partial uint EffectiveUser();

    [LibraryImport("libc", EntryPoint = "statx", StringMarshalling = StringMarshalling.Utf8)]
    private static partial int StatX(int directory, string path, int flags, uint mask, Span<byte> buffer);

    [LibraryImport("libc", EntryPoint = "statvfs", StringMarshalling = StringMarshalling.Utf8)]
    private static partial int StatVfs(string path, Span<ulong> buffer);

    [LibraryImport("libc", EntryPoint = "adjtimex")]
    private static partial int AdjustTime(Span<long> buffer);
}
