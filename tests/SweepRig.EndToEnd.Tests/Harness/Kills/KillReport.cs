namespace SweepRig.EndToEnd.Tests.Harness.Kills;

/// <summary>What a campaign of kills left.</summary>
/// <param name="Kills">How many, of which <paramref name="WhileStarting"/> before the service answered.</param>
/// <param name="Runs">Runs that REST said to be on record.</param>
/// <param name="Samples">Samples that a viewer was shown, each on record before.</param>
/// <param name="Complete">Runs among them that had ended by themselves.</param>
/// <param name="Steps">Steps of nights that REST said to have passed.</param>
/// <param name="Faults">Each run or sample that is gone or changed, each store that does not open or is damaged; empty when nothing is lost.</param>
/// <param name="Answers">From the start of a process to its first answer, in the order made; the first of a directory makes the store.</param>
/// <param name="TakenUp">Starts after which a night went on that was under way before.</param>
public sealed record KillReport(
    int Kills, int WhileStarting, int Runs, long Samples, int Complete, int Steps, IReadOnlyList<string> Faults, IReadOnlyList<TimeSpan> Answers, IReadOnlyList<NightTakenUp> TakenUp)
{
    public static KillReport Sum(IReadOnlyList<KillReport> parts) => new(
        parts.Sum(p => p.Kills), parts.Sum(p => p.WhileStarting), parts.Sum(p => p.Runs), parts.Sum(p => p.Samples), parts.Sum(p => p.Complete), parts.Sum(p => p.Steps),
        [.. parts.SelectMany(p => p.Faults)], [.. parts.SelectMany(p => p.Answers)], [.. parts.SelectMany(p => p.TakenUp)]);
}

/// <param name="After">From the start of a process until a step of the night was under way.</param>
/// <param name="Answered">Of it until the first answer.</param>
/// <param name="Said">What the night said of itself between the rig's connection and then, each with its time.</param>
public sealed record NightTakenUp(TimeSpan After, TimeSpan Answered, IReadOnlyList<string> Said);
