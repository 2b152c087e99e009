namespace SweepRig.Service.Cli.Benches;

/// <summary>Waits for a rig that has just been started to answer.</summary>
public static class Connecting
{
    private static readonly TimeSpan Every = TimeSpan.FromMilliseconds(10);

    /// <summary>A board may first run its boot loader.</summary>
    private static readonly TimeSpan Limit = TimeSpan.FromSeconds(10);

    /// <summary>Returns once the rig answers, or when waiting is of no use; what is asked of the bench then says why.</summary>
    public static async Task UntilConnectedAsync(this IBench bench, TimeProvider time, CancellationToken cancellationToken)
    {
        var started = time.GetTimestamp();
        while (time.GetElapsedTime(started) < Limit && (await bench.StateAsync(cancellationToken)).Link == "connecting") await Task.Delay(Every, time, cancellationToken);
    }
}
