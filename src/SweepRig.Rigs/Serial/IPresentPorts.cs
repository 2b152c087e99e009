namespace SweepRig.Rigs.Serial;

/// <summary>The serial ports of this computer as they are now.</summary>
public interface IPresentPorts
{
    /// <summary>Those that come and go with what is plugged in.</summary>
    IReadOnlyList<PresentPort> All();

    bool IsPresent(string path);

    /// <returns>True if another program has it open.</returns>
    bool IsHeld(string path);
}

/// <summary>As the kernel and udev tell.</summary>
public sealed class PluggedPorts : IPresentPorts
{
    // What adapters and boards with their own USB are called: Linux, Documentation/admin-guide/devices.txt, majors 188 and 166.
    private static readonly string[] Names = ["/dev/ttyUSB", "/dev/ttyACM"];

    public static PluggedPorts Instance { get; } = new();

    public IReadOnlyList<PresentPort> All() => [.. PresentPort.All().Where(p => Names.Any(n => p.Path.StartsWith(n, StringComparison.Ordinal)))];

    public bool IsPresent(string path) => File.Exists(PortRoll.Device(path));

    public bool IsHeld(string path) => PortHolder.Of(path).Count > 0;
}
