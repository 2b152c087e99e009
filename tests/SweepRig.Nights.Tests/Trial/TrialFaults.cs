using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Simulated;
using SweepRig.Wire.Campaign;
using SweepRig.Wire.Line;

namespace SweepRig.Nights;

/// <summary>What nights bring, drawn from a seed. Each ends by itself, but for those that a person must look at.</summary>
internal sealed class TrialFaults(int seed, VirtualClock clock)
{
    private static readonly string[] Kinds =
    [
        "cable pulled", "bad line", "rig restarts", "rig mute", "rig slow", "rig refuses", "no status", "rail sags", "read-back off", "emergency stop", "disk full", "clock set",
    ];

    private readonly Random _random = new(seed);
    private readonly SortedDictionary<string, int> _put = [];
    private int _next;

    public IReadOnlyDictionary<string, int> Put => _put;

    /// <summary>The next fault, at a rig drawn from all.</summary>
    public async Task PutAsync(TrialBench bench, WitnessedRecorder recorder)
    {
        var rig = bench.Rigs.ElementAt(_random.Next(bench.Rigs.Count));
        var kind = Kinds[_next++ % Kinds.Length];
        _put[kind] = _put.GetValueOrDefault(kind) + 1;
        var lasts = TimeSpan.FromSeconds(0.3 * Math.Pow(60, _random.NextDouble()));
        switch (kind)
        {
            case "cable pulled":
                rig.Port.Port.Unplug();
                await Task.Delay(lasts, clock).ConfigureAwait(false);
                rig.Port.Port.PlugIn();
                break;
            case "bad line":
                rig.Port.ToRig.Rates = rig.Port.ToHost.Rates = new LineRates { DropByte = 0.0005, FlipBit = 0.0005, DropFrame = 0.02, DuplicateFrame = 0.02, SwapFrames = 0.02, Delay = 0.02, Stall = 0.002 };
                await Task.Delay(lasts, clock).ConfigureAwait(false);
                rig.Port.ToRig.Rates = rig.Port.ToHost.Rates = LineRates.Clean;
                break;
            case "disk full":
                recorder.DiskIsFull = true;
                await Task.Delay(lasts, clock).ConfigureAwait(false);
                recorder.DiskIsFull = false;
                break;
            case "clock set":
                var by = TimeSpan.FromMinutes(_random.Next(-90, 90));
                clock.Jump(by);
                await Task.Delay(TimeSpan.FromMinutes(7), clock).ConfigureAwait(false);
                clock.Jump(-by);
                break;
            default:
                Inject(rig, kind, lasts);
                await Task.Delay(lasts, clock).ConfigureAwait(false);
                break;
        }
    }

    private void Inject(TrialBench.Rig rig, string kind, TimeSpan lasts)
    {
        var from = (long)clock.Elapsed.TotalMicroseconds - rig.SwitchedOnAt;
        var to = from + (long)lasts.TotalMicroseconds;
        rig.Simulated.Inject(kind switch
        {
            "rig restarts" => new SimulatedFault.Restart(ResetReason.BrownOut) { FromMicroseconds = from, ToMicroseconds = to },
            "rig mute" => new SimulatedFault.Mute { FromMicroseconds = from, ToMicroseconds = to },
            "rig slow" => new SimulatedFault.SlowAnswers(400_000) { FromMicroseconds = from, ToMicroseconds = to },
            "rig refuses" => new SimulatedFault.RefuseAll { FromMicroseconds = from, ToMicroseconds = to },
            "no status" => new SimulatedFault.NoStatus { FromMicroseconds = from, ToMicroseconds = to },
            "rail sags" => new SimulatedFault.SupplyOff(-18) { FromMicroseconds = from, ToMicroseconds = to },
            "read-back off" => new SimulatedFault.ReadBackOff(2) { FromMicroseconds = from, ToMicroseconds = to },
            "emergency stop" => (SimulatedFault)new SimulatedFault.EmergencyStop { FromMicroseconds = from, ToMicroseconds = to },
            _ => throw new InvalidOperationException($"There is no fault {kind}."),
        });
    }
}
