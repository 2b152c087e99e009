using SweepRig.Rigs.Simulated;

namespace SweepRig.EndToEnd.Tests.Harness;

/// <summary>The simulated rig in this process, behind a pseudo-terminal, so that a test can pull its cable and read its own record afterwards.</summary>
public sealed class InProcessRig : IAsyncDisposable
{
    private readonly CancellationTokenSource _stop = new();
    private readonly string _path;
    private PtyPort? _cable;
    private Task _serving = Task.CompletedTask;

    public InProcessRig(string path, SimulatedRigOptions options)
    {
        _path = path;
        Rig = new SimulatedRig(options, TimeProvider.System);
        PlugIn();
    }

    public SimulatedRig Rig { get; }

    public void PlugIn()
    {
        _cable = PtyPort.Open(_path);
        _serving = Rig.ServeAsync(_cable.Stream, _stop.Token);
    }

    /// <summary>Closes the pseudo-terminal at once; the rig itself goes on.</summary>
    public void PullCable()
    {
        _cable?.Dispose();
        _cable = null;
    }

    public Task UntilSafeAsync(double seconds = 5) =>
        Waiting.UntilAsync("the rig to be safe by its own record", TimeSpan.FromSeconds(seconds), () => Task.FromResult(Rig.Journal.IsSafe));

    /// <summary>The highest drive that was ever written, nominal volts.</summary>
    public double HighestDrive() =>
        Rig.Journal.Snapshot().Where(e => e.Kind == JournalKind.DriveWritten).Select(e => e.Value).DefaultIfEmpty(double.NegativeInfinity).Max();

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        PullCable();
        try
        {
            await _serving;
        }
        catch (Exception e) when (e is OperationCanceledException or IOException or ObjectDisposedException)
        {
            // The cable was pulled under it; that is the end that was wanted.
        }
        await Rig.DisposeAsync();
        _stop.Dispose();
    }
}
