using System.Diagnostics;
using SweepRig.Domain.Interlocks;
using SweepRig.Rigs.Link.Messages;
using SweepRig.Rigs.Simulated;

namespace SweepRig.Rigs.Tests.Simulated;

[Collection(RealTime.Name)]
public sealed class PtyPortTests : IDisposable
{
    private readonly string _directory = Directory.CreateTempSubdirectory("sweeprig-pty-").FullName;

    private string Path => System.IO.Path.Combine(_directory, "rig");

    public void Dispose() => Directory.Delete(_directory, recursive: true);

    [Fact]
    public void The_line_is_raw()
    {
        using var pty = PtyPort.Open(Path);
        Assert.Equal(pty.Device, new FileInfo(Path).LinkTarget);
        // What another program sees of the terminal: stty(1) of the system.
        using var stty = Process.Start(new ProcessStartInfo("stty", ["-F", Path, "-a"]) { RedirectStandardOutput = true })!;
        var settings = stty.StandardOutput.ReadToEnd();
        stty.WaitForExit();
        foreach (var off in new[] { "-icanon", "-echo", "-isig", "-opost", "-icrnl", "-ixon", "-istrip" }) Assert.Contains(off, settings, StringComparison.Ordinal);
        Assert.Contains("cs8", settings, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Every_byte_passes_unchanged_both_ways()
    {
        using var pty = PtyPort.Open(Path);
        await using var far = new FileStream(Path, FileMode.Open, FileAccess.ReadWrite, FileShare.ReadWrite, 0);
        var all = Enumerable.Range(0, 256).Select(i => (byte)i).ToArray();
        var cancel = TestContext.Current.CancellationToken;
        await pty.Stream.WriteAsync(all, cancel);
        var got = new byte[256];
        await far.ReadExactlyAsync(got, cancel);
        Assert.Equal(all, got);
        await far.WriteAsync(all, cancel);
        await far.FlushAsync(cancel);
        Array.Clear(got);
        await pty.Stream.ReadExactlyAsync(got, cancel);
        Assert.Equal(all, got);
    }

    [Fact]
    public async Task More_than_the_line_holds_waits_for_the_reader()
    {
        using var pty = PtyPort.Open(Path);
        await using var far = new FileStream(Path, FileMode.Open, FileAccess.ReadWrite, FileShare.ReadWrite, 0);
        var much = new byte[1_000_000];
        new Random(1).NextBytes(much);
        var cancel = TestContext.Current.CancellationToken;
        var writing = pty.Stream.WriteAsync(much, cancel).AsTask();
        var got = new byte[much.Length];
        await far.ReadExactlyAsync(got, cancel);
        await writing;
        Assert.Equal(much, got);
    }

    [Fact]
    public async Task A_rig_behind_it_answers_and_is_safe_after_the_cable_is_pulled()
    {
        await using var rig = new SimulatedRig(new(), TimeProvider.System);
        var pty = PtyPort.Open(Path);
        var serving = rig.ServeAsync(pty.Stream, TestContext.Current.CancellationToken);
        await using var far = new Wire(new FileStream(Path, FileMode.Open, FileAccess.ReadWrite, FileShare.ReadWrite, 0));
        await SimulatedRigTests.StartAsync(far);
        await SimulatedRigTests.UntilAsync(rig, e => e.Kind == JournalKind.DriveWritten && e.Code > 210);
        Assert.False(rig.Journal.IsSafe);

        pty.Dispose();
        await serving.WaitAsync(TimeSpan.FromSeconds(20), TestContext.Current.CancellationToken);
        await far.Ended;
        Assert.False(File.Exists(Path));
        var trip = await SimulatedRigTests.UntilAsync(rig, e => e.Kind == JournalKind.Tripped);
        Assert.Equal(TripCause.LeaseExpired, trip.Cause);
        Assert.True(rig.Journal.IsSafe);
    }

    [Fact]
    public async Task A_program_may_close_and_open_the_line_again()
    {
        await using var rig = new SimulatedRig(new(), TimeProvider.System);
        using var pty = PtyPort.Open(Path);
        var serving = rig.ServeAsync(pty.Stream, TestContext.Current.CancellationToken);
        for (ushort session = 1; session <= 3; session++)
        {
            using var far = new FileStream(Path, FileMode.Open, FileAccess.ReadWrite, FileShare.ReadWrite, 0);
            var wire = new Wire(far);
            await wire.SendAsync(new Hello(session));
            while ((await wire.NextAsync<Identity>()).Session != session)
            {
            }
            Assert.False(serving.IsCompleted);
            // The read under way on the terminal ends with the next status.
            far.Dispose();
            await wire.Ended;
        }
    }

    [Fact]
    public void Anything_else_at_the_path_is_left_alone()
    {
        File.WriteAllText(Path, "mine");
        Assert.Contains("left alone", Assert.Throws<IOException>(() => PtyPort.Open(Path)).Message, StringComparison.Ordinal);
        Assert.Equal("mine", File.ReadAllText(Path));
        File.Delete(Path);

        File.CreateSymbolicLink(Path, "/etc/hostname");
        Assert.Contains("/etc/hostname", Assert.Throws<IOException>(() => PtyPort.Open(Path)).Message, StringComparison.Ordinal);
        Assert.Equal("/etc/hostname", new FileInfo(Path).LinkTarget);
        File.Delete(Path);

        Assert.Contains("does not exist", Assert.Throws<IOException>(() => PtyPort.Open(System.IO.Path.Combine(Path, "no", "rig"))).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_link_left_by_a_killed_process_is_replaced()
    {
        File.CreateSymbolicLink(Path, "/dev/pts/99999");
        using (var pty = PtyPort.Open(Path)) Assert.Equal(pty.Device, new FileInfo(Path).LinkTarget);
        Assert.Null(new FileInfo(Path).LinkTarget);
    }
}
