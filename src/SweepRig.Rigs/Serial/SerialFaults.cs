using System.IO.Ports;
using System.Runtime.InteropServices;
using SweepRig.Rigs.Link;

namespace SweepRig.Rigs.Serial;

/// <summary>Why a serial port cannot be opened, in words with a remedy. Numbers are those of Linux (asm-generic/errno.h).</summary>
internal static class SerialFaults
{
    public const int NoTerminal = 25;

    private const int NotPermitted = 1;
    private const int NoEntry = 2;
    private const int NoSuchUnit = 6;
    private const int WouldBlock = 11;
    private const int AccessDenied = 13;
    private const int Busy = 16;
    private const int NoDevice = 19;
    private const int NotDirectory = 20;
    private const int IsDirectory = 21;

    public static RigPortException Of(string path, int error) => new(error switch
    {
        NoEntry or NotDirectory => $"There is no port {path}. {Present()} Check the name and the cable.",
        NoSuchUnit or NoDevice => $"The port {path} exists but no device is behind it. Plug the rig in again.",
        NoTerminal => $"{path} is not a serial port (no terminal device). {Present()} Give the path of a serial port.",
        IsDirectory => $"{path} is a directory, not a serial port. {Present()} Give the path of a serial port.",
        Busy or WouldBlock => $"The port {path} is in use by {Holder(path)}. Close it there (a second `serve`, a terminal program), then try again.",
        NotPermitted or AccessDenied =>
            $"You may not open the port {path}. Join the group that owns it, usually dialout (`sudo usermod -aG dialout $USER`), and log in again.",
        _ => $"The port {path} cannot be opened: {Marshal.GetPInvokeErrorMessage(error)} (error {error}). Check cable and driver.",
    });

    private static string Holder(string path) => PortHolder.Of(path) is { Count: > 0 } holders ? $"another program ({string.Join("; ", holders)})" : "another program";

    private static string Present()
    {
        var names = SerialPort.GetPortNames();
        return names.Length == 0 ? "No serial port is present." : $"Present are {string.Join(", ", names.Order(StringComparer.Ordinal))}.";
    }
}
