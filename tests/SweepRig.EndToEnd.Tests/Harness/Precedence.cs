using System.Diagnostics;

namespace SweepRig.EndToEnd.Tests.Harness;

/// <summary>
/// Rig and service go before browser, compilers and tests, where this process may order that (as root). A rig's lease runs by the machine's clock: a
/// starved machine trips it, as it would in life, and a test about something else would fail by it.
/// </summary>
public static class Precedence
{
    // Linux weighs whole sessions against one another first (sched(7), the autogroup feature), then the processes of a session by their nice values.
    private const string Script = "if [ -w /proc/self/autogroup ]; then echo -15 > /proc/self/autogroup; fi; exec nice -n -15 \"$0\" \"$@\"";

    public static ProcessStartInfo Of(string executable, IEnumerable<string> arguments) => Environment.IsPrivilegedProcess
        ? new ProcessStartInfo("setsid", ["sh", "-c", Script, executable, .. arguments])
        : new ProcessStartInfo(executable, arguments);
}
