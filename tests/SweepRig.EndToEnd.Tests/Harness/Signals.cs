using System.ComponentModel;
using System.Runtime.InteropServices;

namespace SweepRig.EndToEnd.Tests.Harness;

/// <summary>Signals that .NET does not send by itself.</summary>
public static partial class Signals
{
    /// <summary>What Ctrl+C sends.</summary>
    public static void Interrupt(int processId) => Send(processId, 2);

    /// <summary>What a supervisor sends to end a service.</summary>
    public static void Terminate(int processId) => Send(processId, 15);

    /// <summary>Stops a process where it is.</summary>
    public static void Stop(int processId) => Send(processId, 19);

    private static void Send(int processId, int signal)
    {
        if (Kill(processId, signal) != 0) throw new Win32Exception(Marshal.GetLastPInvokeError());
    }

    [LibraryImport("libc", EntryPoint = "kill", SetLastError = true)]
    private static partial int Kill(int processId, int signal);
}
