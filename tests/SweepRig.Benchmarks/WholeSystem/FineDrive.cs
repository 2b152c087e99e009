using SweepRig.Domain.Rigs;
using SweepRig.EndToEnd.Tests.Harness;
using SweepRig.Rigs.Simulated;

namespace SweepRig.Benchmarks.WholeSystem;

/// <summary>A simulated rig with a 16-bit drive, so that a pass may be long: a plan may not have more points than the drive has steps.</summary>
public static class FineDrive
{
    public static SimulatedRigOptions Options { get; } = new() { HeaterSpeed = PtyBench.HeaterSpeed, Drive = new DriveScale(16, new(-16), new(32)) };
}
