using Microsoft.Extensions.Time.Testing;
using SweepRig.Rigs.Simulated;
using SweepRig.Wire.Line;

namespace SweepRig.Sweeps.Tests.Wire;

public sealed class FaultyLineTests
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Each_direction_has_faults_of_its_own()
    {
        var (host, hostEnd) = PipeStream.Pair();
        var (rig, rigEnd) = PipeStream.Pair();
        await using var line = new FaultyLine(hostEnd, rigEnd, new(LineRates.Clean, 1), new(new() { DropFrame = 1 }, 1), new FakeTimeProvider());
        await host.WriteAsync(new byte[] { 1, 2, 0 }, Cancellation);
        Assert.Equal([1, 2, 0], await ReadAsync(rig, 3));
        await rig.WriteAsync(new byte[] { 3, 0 }, Cancellation);
        line.Unplug();
        await line.Ended;
        Assert.Equal(0, await host.ReadAsync(new byte[1], Cancellation));
        await Assert.ThrowsAnyAsync<IOException>(async () => await rig.WriteAsync(new byte[] { 4, 0 }, Cancellation));
    }

    [Fact]
    public async Task What_waits_holds_up_all_behind_it()
    {
        var time = new FakeTimeProvider();
        var (host, hostEnd) = PipeStream.Pair();
        var (rig, rigEnd) = PipeStream.Pair();
        var toRig = new LineDamage(new() { Stall = 1, LongestStall = TimeSpan.FromSeconds(1) }, 1);
        await using var line = new FaultyLine(hostEnd, rigEnd, toRig, new(LineRates.Clean, 1), time);
        await host.WriteAsync(new byte[] { 1, 0 }, Cancellation);
        var reading = ReadAsync(rig, 4);
        // The frame is on the line; what comes now is not held itself.
        while (toRig.Frames == 0) await Task.Yield();
        toRig.Rates = LineRates.Clean;
        await host.WriteAsync(new byte[] { 2, 0 }, Cancellation);
        while (toRig.Frames < 2) await Task.Yield();
        Assert.False(reading.IsCompleted);
        while (!reading.IsCompleted)
        {
            time.Advance(TimeSpan.FromMilliseconds(10));
            await Task.Yield();
        }
        Assert.Equal([1, 0, 2, 0], await reading);
    }

    private static async Task<byte[]> ReadAsync(Stream stream, int count)
    {
        var bytes = new byte[count];
        await stream.ReadExactlyAsync(bytes, Cancellation).AsTask().WaitAsync(TimeSpan.FromSeconds(20), Cancellation);
        return bytes;
    }
}
