using SweepRig.Domain.Rigs;
using SweepRig.EndToEnd.Tests.Harness;
using SweepRig.Rigs;
using SweepRig.Rigs.Simulated;

namespace SweepRig.EndToEnd.Tests.Emulated.Rigs;

/// <summary>The rig in C#, which wires its own socket and sets its own supplies.</summary>
internal sealed class SimulatedRigOnBench(string ptyPath, SimulatedRigOptions options) : RigOnBench
{
    private readonly InProcessRig _rig = new(ptyPath, options);

    public override RigJournal Journal => _rig.Rig.Journal;

    public override void Inject(params IReadOnlyList<SimulatedFault> faults) => _rig.Rig.Inject(faults);

    public override Task WireAsync(RigWiring wiring, double railVolts) => Task.CompletedTask;

    public override void Restart(ResetReason reason) => _rig.Rig.Inject(new SimulatedFault.Restart(reason));

    public override ValueTask DisposeAsync() => _rig.DisposeAsync();
}
