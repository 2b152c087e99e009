namespace SweepRig.Sweeps.Tests.Integration;

/// <summary>A rig's lease runs on the real clock, so these run alone and not beside tests that load the machine.</summary>
[CollectionDefinition(nameof(OnTheRealClock), DisableParallelization = true)]
public sealed class OnTheRealClock;
