namespace SweepRig.Nights;

/// <summary>A whole night on simulated rigs, as it is to be tried.</summary>
/// <param name="Rigs">1 to 8.</param>
/// <param name="Sockets">Of each rig, 1 to 8.</param>
/// <param name="Jobs">All in all, each of one step; a multiple of rigs and hours.</param>
/// <param name="Hours">For which there are jobs, each hour its own.</param>
/// <param name="JobsPerFault">A fault is put in each time so many steps are over.</param>
/// <param name="RestartsAt">
/// The service ends and is started anew each time this part of the jobs is over. All of the whole night fall into its first hour: from the second on the memory of one service is weighed, and one that ends
/// within this process does not give back all that it had.
/// </param>
/// <param name="Seed">Of faults, jobs and rigs.</param>
public sealed record TrialPlan(int Rigs, int Sockets, int Jobs, int Hours, int JobsPerFault, IReadOnlyList<double> RestartsAt, int Seed)
{
    /// <summary>The night as a person would leave it.</summary>
    public static TrialPlan Whole { get; } = new(8, 4, 10_048, 8, 50, [0.05, 0.1], 1);

    /// <summary>One that a test can wait for.</summary>
    public static TrialPlan Short { get; } = new(8, 4, 400, 1, 10, [0.5], 2);

    public int JobsOfRig => Jobs / Rigs;

    public int JobsOfHour => JobsOfRig / Hours;
}
