namespace SweepRig.Benchmarks.Mutations;

public enum MutationResult
{
    /// <summary>The test failed without the protection, as it must.</summary>
    Noticed,

    /// <summary>The test passed without the protection.</summary>
    Unnoticed,

    /// <summary>The changed source does not build, so nothing is shown.</summary>
    DoesNotBuild,

    /// <summary>The test fails with the protection in place, or does not run: nothing is shown.</summary>
    NoBaseline,
}
