namespace SweepRig.Tubes.Fixture;

public enum FixtureStatus
{
    /// <summary>Never returned by the solver: a point that was not computed.</summary>
    None,

    /// <summary>Every node balances to within rounding.</summary>
    Solved,

    /// <summary>No balance was found; the voltages are the best tried and must not be used.</summary>
    Unsolved,
}
