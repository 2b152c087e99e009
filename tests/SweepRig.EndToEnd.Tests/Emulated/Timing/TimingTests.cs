using SweepRig.EndToEnd.Tests.Emulated.Rigs;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.EndToEnd.Tests.Emulated.Timing;

/// <summary>How fast the machine code measures and how soon it is safe, in emulated cycles, as the figure <c>firmware-timing</c> prints it.</summary>
public sealed class TimingTests(ITestOutputHelper output)
{
    [Fact]
    public void Samples_averaged_16_times_come_fast_enough()
    {
        var rate = FirmwareTiming.SamplesPerSecond(16);
        output.WriteLine($"{rate:0} samples/s");
        Assert.True(rate >= FirmwareTargets.SamplesPerSecond16, $"{rate:0} samples/s.");
    }

    [Fact]
    public void A_host_that_speaks_as_soon_as_the_receiver_is_on_is_heard()
    {
        using var host = new BoardHost();
        while (!host.Board.Usart.Receives) host.Board.RunTo(host.Cycle + 16);
        host.Do(new Hello(BoardHost.Session));
        Assert.Equal(0, host.Board.Usart.Overruns);
    }

    [Fact]
    public void A_breach_of_the_ceiling_is_answered_at_once()
    {
        var time = FirmwareTiming.CeilingToSafeMicroseconds();
        output.WriteLine($"{time:0} us");
        Assert.True(time <= FirmwareTargets.CeilingMicroseconds, $"{time:0} us.");
    }

    [Fact]
    public void Silence_of_the_host_is_answered_as_soon_as_the_lease_is_over()
    {
        var time = FirmwareTiming.SilenceToSafeMilliseconds(FirmwareTargets.LeaseMilliseconds);
        output.WriteLine($"{time:0.00} ms");
        Assert.InRange(time, 0, FirmwareTargets.SilenceMilliseconds);
    }

    [Fact]
    public void A_hang_is_answered_by_the_enable_line_and_by_the_watchdog()
    {
        var (drive, all) = FirmwareTiming.HangToSafeMilliseconds();
        output.WriteLine($"{drive:0.00} ms, {all:0.00} ms");
        Assert.InRange(drive, 0, 25);
        Assert.InRange(all, 0, FirmwareTargets.HangMilliseconds);
    }
}
