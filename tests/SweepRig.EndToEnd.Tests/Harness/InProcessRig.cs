using SweepRig.Rigs.Simulated;
using SweepRig.Wire.Line;

namespace SweepRig.EndToEnd.Tests.Harness;

/// <summary>The simulated rig in this process, behind a pseudo-terminal, so that a test can pull its cable and read its own record afterwards.</summary>
public sealed class InProcessRig : IAsyncDisposable
{
    private readonly CancellationTokenSource _stop = new();
    private readonly string _path;
    private readonly LineRates? _toHost;
    private PtyPort? _cable;
    private FaultyLine? _line;
    private Task _serving = Task.CompletedTask;

    /// <param name="path">Where its pseudo-terminal is linked to.</param>
    /// <param name="options">What it is made of.</param>
    /// <param name="toHost">What its line does to what it says; null for nothing.</param>
    public InProcessRig(string path, SimulatedRigOptions options, LineRates? toHost = null)
    {
        (_path, _toHost) = (path, toHost);
        Rig = new SimulatedRig(options, TimeProvider.System);
        PlugIn();
    }

    public SimulatedRig Rig { get; }

    public void PlugIn()
    {
        _cable = PtyPort.Open(_path);
        var end = _cable.Stream;
        if (_toHost is { } rates)
        {
            var (rig, far) = PipeStream.Pair();
            _line = new FaultyLine(end, far, new(LineRates.Clean, 1), new(rates, 2), TimeProvider.System);
            end = rig;
        }
        _serving = Rig.ServeAsync(end, _stop.Token);
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
        if (_line is not null) await _line.DisposeAsync();
        await Rig.DisposeAsync();
        _stop.Dispose();
    }
}
