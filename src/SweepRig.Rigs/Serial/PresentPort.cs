using System.IO.Ports;

namespace SweepRig.Rigs.Serial;

/// <summary>A serial port of this computer.</summary>
/// <param name="Path">Device, for example <c>/dev/ttyUSB0</c>; another one after replugging, perhaps.</param>
/// <param name="Stable">A name that stays with the adapter, from udev; null where there is none.</param>
public sealed record PresentPort(string Path, string? Stable)
{
    private const string ById = "/dev/serial/by-id";

    public static IReadOnlyList<PresentPort> All()
    {
        var stable = Directory.Exists(ById)
            ? Directory.EnumerateFileSystemEntries(ById).Select(l => (Link: l, Device: File.ResolveLinkTarget(l, returnFinalTarget: true)?.FullName)).ToLookup(l => l.Device, l => l.Link)
            : null;
        return [.. SerialPort.GetPortNames().Order(StringComparer.Ordinal).Select(p => new PresentPort(p, stable?[p].FirstOrDefault()))];
    }
}
