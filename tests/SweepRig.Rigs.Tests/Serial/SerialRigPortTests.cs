using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Serial;
using SweepRig.Rigs.Simulated;
using SweepRig.Rigs.Tests.Link;

namespace SweepRig.Rigs.Tests.Serial;

/// <summary>Real files and pseudo-terminals; nothing here is played.</summary>
public sealed class SerialRigPortTests : IDisposable
{
    private readonly string directory = Directory.CreateTempSubdirectory("sweeprig-serial-").FullName;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public void Dispose() => Directory.Delete(directory, recursive: true);

    [Fact]
    public async Task A_port_that_does_not_exist_is_named()
    {
        var path = Path.Combine(directory, "ttyNONE");
        var fault = await FaultAsync(path);
        Assert.Contains($"There is no port {path}", fault.Message, StringComparison.Ordinal);
        Assert.Contains("Check the name and the cable", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_file_is_no_serial_port()
    {
        var path = Path.Combine(directory, "notes.txt");
        await File.WriteAllTextAsync(path, "tide table", Cancellation);
        Assert.Contains("not a serial port", (await FaultAsync(path)).Message, StringComparison.Ordinal);
        Assert.Equal("tide table", await File.ReadAllTextAsync(path, Cancellation));
    }

    [Fact]
    public async Task A_directory_is_no_serial_port() =>
        Assert.Contains("is a directory", (await FaultAsync(directory)).Message, StringComparison.Ordinal);

    [Fact]
    public async Task A_second_host_on_the_same_port_is_refused_until_the_first_has_closed()
    {
        using var pty = PtyPort.Open(Path.Combine(directory, "rig"));
        var first = await new SerialRigPort(pty.Path, 115_200, TimeProvider.System).OpenAsync(Cancellation);
        Assert.Contains("in use by another program", (await FaultAsync(pty.Path)).Message, StringComparison.Ordinal);
        Assert.Contains("in use by another program", (await FaultAsync(pty.Device)).Message, StringComparison.Ordinal);
        await first.DisposeAsync();
    }

    [Fact]
    public async Task A_port_can_be_opened_again_by_the_one_that_closed_it()
    {
        using var pty = PtyPort.Open(Path.Combine(directory, "rig"));
        var port = new SerialRigPort(pty.Path, 115_200, TimeProvider.System);
        await (await port.OpenAsync(Cancellation)).DisposeAsync();
        await (await port.OpenAsync(Cancellation)).DisposeAsync();
    }

    [Fact]
    public async Task Bytes_go_both_ways_over_a_pseudo_terminal()
    {
        using var pty = PtyPort.Open(Path.Combine(directory, "rig"));
        await using var stream = await new SerialRigPort(pty.Path, 115_200, TimeProvider.System).OpenAsync(Cancellation);
        byte[] all = [.. Enumerable.Range(0, 256).Select(i => (byte)i)];
        await stream.WriteAsync(all, Cancellation);
        Assert.Equal(all, await ReadAsync(pty.Stream, all.Length));
        await pty.Stream.WriteAsync(all, Cancellation);
        Assert.Equal(all, await ReadAsync(stream, all.Length));
    }

    [Fact]
    public async Task A_rig_on_a_real_port_shakes_hands_and_a_pulled_cable_is_told()
    {
        var pty = PtyPort.Open(Path.Combine(directory, "rig"));
        await using var simulated = new SimulatedRig(new(), TimeProvider.System);
        _ = simulated.ServeAsync(pty.Stream, Cancellation);
        await using var rig = new LinkRig(new SerialRigPort(pty.Path, 115_200, TimeProvider.System), TimeProvider.System, NullLogger<LinkRig>.Instance);
        rig.Start();
        Assert.Equal(5, (await UntilAsync<RigEvent.Connected>(rig)).Identity.Channels.Count);
        pty.Dispose();
        var lost = await UntilAsync<RigEvent.Disconnected>(rig);
        Assert.True(lost.Retrying);
        Assert.Contains("was lost", lost.Reason, StringComparison.Ordinal);
        while (!(await UntilAsync<RigEvent.Disconnected>(rig)).Reason.Contains("There is no port", StringComparison.Ordinal))
        {
        }
    }

    [Fact]
    public async Task What_was_written_to_a_dead_line_does_not_keep_the_port_from_closing()
    {
        var pty = PtyPort.Open(Path.Combine(directory, "rig"));
        var port = new SerialRigPort(pty.Path, 115_200, TimeProvider.System);
        var stream = await port.OpenAsync(Cancellation);
        var reading = stream.ReadAsync(new byte[1], Cancellation).AsTask();
        pty.Dispose();
        await Assert.ThrowsAnyAsync<Exception>(() => reading.WaitAsync(Deadline.Time, Cancellation));
        // The end of the read has ended the port's own loop; nobody will take this.
        var unsent = stream.WriteAsync(new byte[1], Cancellation).AsTask();
        await stream.DisposeAsync();
        Assert.Contains("There is no port", (await Assert.ThrowsAsync<RigPortException>(async () => await port.OpenAsync(Cancellation))).Message, StringComparison.Ordinal);
        await Assert.ThrowsAnyAsync<Exception>(() => unsent.WaitAsync(Deadline.Time, Cancellation));
    }

    [Fact]
    public async Task A_program_that_chatters_on_the_port_is_no_rig()
    {
        using var pty = PtyPort.Open(Path.Combine(directory, "rig"));
        await using var rig = new LinkRig(new SerialRigPort(pty.Path, 115_200, TimeProvider.System), TimeProvider.System, NullLogger<LinkRig>.Instance);
        rig.Start();
        // The host's Hello shows that it listens; what it is told then is text.
        await ReadAsync(pty.Stream, 4);
        await pty.Stream.WriteAsync("login: "u8.ToArray(), Cancellation);
        var refused = await UntilAsync<RigEvent.Disconnected>(rig);
        Assert.Contains("does not speak the rig link: 7 bytes, no valid frame; check the port and the baud rate", refused.Reason, StringComparison.Ordinal);
    }

    /// <summary>Error numbers as in asm-generic/errno.h; a test may run as root, for whom no port is forbidden.</summary>
    [Theory]
    [InlineData(13, "dialout")]
    [InlineData(1, "dialout")]
    [InlineData(16, "in use by another program")]
    [InlineData(11, "in use by another program")]
    [InlineData(2, "There is no port")]
    [InlineData(6, "no device is behind it")]
    [InlineData(19, "no device is behind it")]
    [InlineData(5, "error 5")]
    public void Each_fault_of_the_system_has_its_remedy(int error, string says) =>
        Assert.Contains(says, SerialFaults.Of("/dev/ttyUSB0", error).Message, StringComparison.Ordinal);

    [Theory]
    [InlineData(0)]
    [InlineData(-9600)]
    [InlineData(5_000_000)]
    public void An_impossible_speed_is_refused_with_the_range(int baud)
    {
        var fault = Assert.Throws<ArgumentOutOfRangeException>(() => new SerialRigPort("/dev/ttyUSB0", baud, TimeProvider.System));
        Assert.Contains("9600 to 4000000", fault.Message, StringComparison.Ordinal);
    }

    private static async Task<RigPortException> FaultAsync(string path) => await Assert.ThrowsAsync<RigPortException>(
        async () => await new SerialRigPort(path, 115_200, TimeProvider.System).OpenAsync(Cancellation));

    private static async Task<T> UntilAsync<T>(LinkRig rig)
        where T : RigEvent
    {
        while (true)
            if (await rig.Events.ReadAsync(Cancellation).AsTask().WaitAsync(Deadline.Time, Cancellation) is T found) return found;
    }

    private static async Task<byte[]> ReadAsync(Stream stream, int count)
    {
        var bytes = new byte[count];
        await stream.ReadExactlyAsync(bytes, Cancellation).AsTask().WaitAsync(Deadline.Time, Cancellation);
        return bytes;
    }
}
