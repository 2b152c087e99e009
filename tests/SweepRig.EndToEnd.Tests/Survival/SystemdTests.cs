using System.Diagnostics;
using System.Net.Sockets;
using System.Text;
using System.Text.RegularExpressions;
using SweepRig.EndToEnd.Tests.Harness;

namespace SweepRig.EndToEnd.Tests.Survival;

/// <summary>The service as systemd has it: a real process, a real datagram socket (sd_notify(3)), and systemd's own check of the unit.</summary>
public sealed class SystemdTests : IDisposable
{
    private static readonly TimeSpan Limit = TimeSpan.FromSeconds(60);

    private readonly string _directory = Directory.CreateTempSubdirectory("sweeprig-sd-").FullName;

    public void Dispose() => Directory.Delete(_directory, recursive: true);

    [Fact]
    public async Task It_says_ready_feeds_the_watchdog_and_says_when_it_stops()
    {
        var path = Path.Combine(_directory, "notify");
        using var socket = new Socket(AddressFamily.Unix, SocketType.Dgram, ProtocolType.Unspecified);
        socket.Bind(new UnixDomainSocketEndPoint(path));
        // .NET knows systemd by the name of its parent process.
        var parent = Path.Combine(_directory, "systemd");
        File.Copy(File.ResolveLinkTarget("/bin/sh", returnFinalTarget: true)?.FullName ?? "/bin/sh", parent);
        var start = new ProcessStartInfo(parent, ["-c", "\"$0\" serve --data \"$1\" --url http://127.0.0.1:0 & echo $! > \"$2\"; wait $!", Repository.Executable, Path.Combine(_directory, "data"), Path.Combine(_directory, "pid")])
        {
            RedirectStandardError = true,
            RedirectStandardOutput = true,
        };
        start.Environment["NOTIFY_SOCKET"] = path;
        start.Environment["WATCHDOG_USEC"] = "2000000";
        using var service = Process.Start(start)!;
        var log = service.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        var output = service.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        try
        {
            await UntilAsync(socket, "READY=1");
            await UntilAsync(socket, "WATCHDOG=1");
            await UntilAsync(socket, "WATCHDOG=1");
            Signals.Terminate(ServiceId());
            await UntilAsync(socket, "STOPPING=1");
            await service.WaitForExitAsync(TestContext.Current.CancellationToken).WaitAsync(Limit, TimeProvider.System, TestContext.Current.CancellationToken);
        }
        finally
        {
            if (!service.HasExited) service.Kill(entireProcessTree: true);
        }
        Assert.True(service.ExitCode == 0, await log + await output);
        // sd-daemon(3): each line begins with its priority, 0 to 7; then category and id of the event.
        var lines = (await log).Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.NotEmpty(lines);
        Assert.All(lines, l => Assert.Matches("^<[0-7]>", l));
        Assert.Contains(lines, l => Regex.IsMatch(l, @"^<6>.*SweepRig\.Service\.Vitals\.Pulse\[1005\]"));
        Assert.Contains(lines, l => l.Contains("[1006]", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Systemd_finds_no_fault_in_the_unit_and_takes_its_hardening()
    {
        var unit = Path.Combine(_directory, "sweeprig.service");
        var (exit, text, error) = await SweepRigProcess.RunAsync(Limit, "service", "unit", "--executable", Repository.Executable, "--user", "root", "--port", "/dev/ttyUSB0");
        Assert.True(exit == 0, error);
        await File.WriteAllTextAsync(unit, text, TestContext.Current.CancellationToken);

        var (verified, said) = await RunAsync("systemd-analyze", "verify", "--man=no", unit);
        // Units of the machine around it are not ours to judge.
        Assert.DoesNotContain(said.Split('\n'), l => l.Contains("sweeprig", StringComparison.Ordinal));
        Assert.True(verified == 0 || said.Length > 0, said);

        var (_, exposure) = await RunAsync("systemd-analyze", "security", "--offline=true", "--no-pager", unit);
        var level = Regex.Match(exposure, @"Overall exposure level for sweeprig\.service: ([\d.]+)");
        Assert.True(level.Success, exposure);
        // From 0, safe, to 10, exposed; a service without any of it stands at 9.6.
        Assert.InRange(double.Parse(level.Groups[1].Value, System.Globalization.CultureInfo.InvariantCulture), 0, 3.5);
    }

    private int ServiceId() => int.Parse(File.ReadAllText(Path.Combine(_directory, "pid")), System.Globalization.CultureInfo.InvariantCulture);

    private static async Task UntilAsync(Socket socket, string message)
    {
        using var limit = new CancellationTokenSource(Limit);
        var buffer = new byte[4096];
        while (true)
        {
            var length = await socket.ReceiveAsync(buffer, limit.Token);
            if (Encoding.UTF8.GetString(buffer, 0, length).Split('\n').Contains(message)) return;
        }
    }

    private static async Task<(int Exit, string Said)> RunAsync(string command, params string[] arguments)
    {
        using var process = Process.Start(new ProcessStartInfo(command, arguments) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        var (output, error) = (process.StandardOutput.ReadToEndAsync(), process.StandardError.ReadToEndAsync());
        await process.WaitForExitAsync().WaitAsync(Limit, TimeProvider.System);
        return (process.ExitCode, await output + await error);
    }
}
