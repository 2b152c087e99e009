using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.EndToEnd.Tests.Harness;
using SweepRig.Rigs;
using SweepRig.Rigs.Simulated;

namespace SweepRig.EndToEnd.Tests.Emulated.Rigs;

/// <summary>The three rigs that must behave alike.</summary>
public enum RigKind
{
    /// <summary>The rig in C#.</summary>
    Simulated,

    /// <summary>The reference firmware as a Linux process.</summary>
    Host,

    /// <summary>The reference firmware as machine code of the ATmega328P.</summary>
    Avr,
}

/// <summary>A rig with its fixture and tube behind a pseudo-terminal, and what a test may do to it from outside.</summary>
internal abstract class RigOnBench : IAsyncDisposable
{
    /// <summary>Ideal converters and a quiet bench, so that the rigs can be compared step for step.</summary>
    public static SimulatedRigOptions Quiet { get; } = new()
    {
        NoiseVolts = 0, HumVolts = 0, GainError = 0, OffsetErrorVolts = 0, HeaterSpeed = PtyBench.HeaterSpeed,
    };

    /// <summary>What was done to drive and supplies, as seen at the pins; not what the firmware believes.</summary>
    public abstract RigJournal Journal { get; }

    /// <summary>Replaces the faults that are present.</summary>
    public abstract void Inject(params IReadOnlyList<SimulatedFault> faults);

    /// <summary>Wires the socket and sets the plate rail, as an operator does before a plan.</summary>
    public abstract Task WireAsync(RigWiring wiring, double railVolts);

    /// <summary>Makes it start anew; for the watchdog by hanging its program, if there is one that watches it.</summary>
    public abstract void Restart(ResetReason reason);

    public abstract ValueTask DisposeAsync();

    /// <summary>The converter's output hangs in the air and reads as all ones.</summary>
    public virtual void OpenConverter() =>
        Inject([.. RigChannels.All.Select(channel => new SimulatedFault.ChannelStuck(channel, 4095))]);

    public static RigOnBench Start(RigKind kind, string ptyPath, SimulatedRigOptions? options = null) => kind switch
    {
        RigKind.Simulated => new SimulatedRigOnBench(ptyPath, options ?? Quiet),
        RigKind.Host => new HostRig(ptyPath, options ?? Quiet),
        RigKind.Avr => new AvrRig(ptyPath, options ?? Quiet),
        _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "No such rig."),
    };

    public Task UntilSafeAsync(double seconds = 5) =>
        Waiting.UntilAsync("the rig to be safe at its pins", TimeSpan.FromSeconds(seconds), () => Task.FromResult(Journal.IsSafe));

    /// <summary>Waits until the rig has started for the n-th time, and checks why.</summary>
    public async Task RestartedAsync(int times, ResetReason reason)
    {
        await Waiting.UntilAsync($"start {times} of the rig", TimeSpan.FromSeconds(5), () => Task.FromResult(Starts().Count >= times));
        if (Starts()[times - 1].Code is var code && code != (int)reason) throw new InvalidOperationException($"The rig started for reason {(ResetReason)code}, not {reason}.");

        List<JournalEntry> Starts() => [.. Journal.Snapshot().Where(e => e.Kind == JournalKind.Restarted)];
    }

    /// <summary>The highest drive so far, nominal volts.</summary>
    public double HighestDrive() =>
        Journal.Snapshot().Where(e => e.Kind == JournalKind.DriveWritten).Select(e => e.Value).DefaultIfEmpty(double.NegativeInfinity).Max();
}
