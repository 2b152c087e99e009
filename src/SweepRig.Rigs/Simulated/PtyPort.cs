using System.Text;
using SweepRig.Rigs.Simulated.Pty;

namespace SweepRig.Rigs.Simulated;

/// <summary>
/// A pseudo-terminal behind a symbolic link, which any serial program can open as it would a cable. This side is <see cref="Stream"/>. Linux only.
/// </summary>
/// <remarks>
/// The line is raw: no echo, no line editing, no translation. The port holds the far end open itself, so that a program that closes and opens again finds
/// the line alive; <see cref="Dispose"/> pulls the cable: whoever has the far end open reads end of file or an error.
/// </remarks>
public sealed class PtyPort : IDisposable
{
    private readonly PtyStream _stream;
    private readonly int _slave;
    private readonly string _link;
    private int _disposed;

    private PtyPort(PtyStream stream, int slave, string link, string device)
    {
        _stream = stream;
        _slave = slave;
        _link = link;
        Device = device;
    }

    /// <summary>The rig's side of the line.</summary>
    public Stream Stream => _stream;

    /// <summary>Path of the symbolic link.</summary>
    public string Path => _link;

    /// <summary>The terminal device that the link points to.</summary>
    public string Device { get; }

    /// <summary>Makes the pseudo-terminal and the link. A link left behind by an earlier pseudo-terminal is replaced; anything else at the path is refused.</summary>
    /// <exception cref="PlatformNotSupportedException">Not on Linux.</exception>
    /// <exception cref="IOException">The path exists and is no such link, its directory does not exist, or the system gives no pseudo-terminal.</exception>
    public static PtyPort Open(string path)
    {
        if (!OperatingSystem.IsLinux())
            throw new PlatformNotSupportedException("A pseudo-terminal is made on Linux only; elsewhere use the simulated rig inside the service, which needs no port.");
        var link = System.IO.Path.GetFullPath(path);
        RefuseForeign(link);
        var master = Posix.OpenMaster(Posix.ReadWrite | Posix.NoControllingTerminal | Posix.NonBlocking | Posix.CloseOnExec);
        if (master < 0) throw Posix.Failure("The system gives no pseudo-terminal");
        var slave = -1;
        try
        {
            if (Posix.Grant(master) < 0 || Posix.Unlock(master) < 0) throw Posix.Failure("The pseudo-terminal cannot be unlocked");
            var device = NameOf(master);
            slave = Posix.Open(device, Posix.ReadWrite | Posix.NoControllingTerminal | Posix.CloseOnExec);
            if (slave < 0) throw Posix.Failure($"{device} cannot be opened");
            MakeRaw(slave, device);
            Link(link, device);
            return new(new PtyStream(master), slave, link, device);
        }
        catch
        {
            if (slave >= 0) _ = Posix.Close(slave);
            _ = Posix.Close(master);
            throw;
        }
    }

    /// <summary>Pulls the cable and removes the link. May be called more than once and from any thread.</summary>
    public void Dispose()
    {
        if (Interlocked.Exchange(ref _disposed, 1) != 0) return;
        // The link goes first, so that nobody opens a device that is about to belong to someone else.
        if (new FileInfo(_link).LinkTarget == Device) File.Delete(_link);
        _ = Posix.Close(_slave);
        _stream.Dispose();
    }

    private static void RefuseForeign(string link)
    {
        var entry = new FileInfo(link);
        if (entry.LinkTarget is { } target)
        {
            if (target.StartsWith("/dev/pts/", StringComparison.Ordinal)) return;
            throw new IOException($"{link} is a link to {target}, not to a pseudo-terminal; it is left alone. Give another path.");
        }
        if (entry.Exists || Directory.Exists(link)) throw new IOException($"{link} exists already and is left alone. Give a path where nothing is yet.");
        var directory = System.IO.Path.GetDirectoryName(link);
        if (!Directory.Exists(directory)) throw new IOException($"The directory {directory} does not exist. Make it, or give another path.");
    }

    private static void Link(string link, string device)
    {
        if (new FileInfo(link).LinkTarget is not null) File.Delete(link);
        File.CreateSymbolicLink(link, device);
    }

    private static string NameOf(int master)
    {
        Span<byte> name = stackalloc byte[128];
        if (Posix.SlaveName(master, name, (nuint)name.Length) != 0) throw Posix.Failure("The pseudo-terminal has no name");
        return Encoding.UTF8.GetString(name[..name.IndexOf((byte)0)]);
    }

    private static void MakeRaw(int slave, string device)
    {
        Span<byte> termios = stackalloc byte[Posix.TermiosRoom];
        if (Posix.GetTerminal(slave, termios) < 0) throw Posix.Failure($"{device} is no terminal");
        Posix.MakeRaw(termios);
        if (Posix.SetTerminal(slave, 0, termios) < 0) throw Posix.Failure($"{device} cannot be made raw");
    }
}
