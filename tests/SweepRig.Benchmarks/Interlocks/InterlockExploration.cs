using System.Diagnostics;
using SweepRig.Benchmarks.Mutations;
using SweepRig.Wire.Exploration;

namespace SweepRig.Benchmarks.Interlocks;

/// <summary>
/// Firmware core, line and host interlocks explored together, and the same with faults planted in each: what is right must break nothing, what is wrong must be found.
/// SWEEPRIG_EXPLORE may give bounds of its own in place of all others: faults, incidents, depth (0 for none), states ("2 2 9 60000000").
/// </summary>
internal static class InterlockExploration
{
    /// <summary>At 34 bytes a world, 3.4 GB.</summary>
    private const int Most = 100_000_000;

    private static readonly Bounds[] Wanted =
    [
        new(0, 0, Bounds.Unbounded, Most), new(0, 1, Bounds.Unbounded, Most), new(1, 0, Bounds.Unbounded, Most), new(1, 1, 16, Most), new(2, 2, 7, Most),
    ];

    private static readonly Bounds Planted = new(Faults: 1, Incidents: 1, Depth: 8, States: 5_000_000);

    private static readonly Bounds Deep = new(Faults: 1, Incidents: 0, Bounds.Unbounded, Most);

    public static Task<FigureLine> MeasureAsync()
    {
        var wanted = Environment.GetEnvironmentVariable("SWEEPRIG_EXPLORE")?.Split(' ').Select(int.Parse).ToArray() is { Length: 4 } b
            ? [new(b[0], b[1], b[2] == 0 ? Bounds.Unbounded : b[2], b[3])]
            : Wanted;
        var library = FirmwareLibrary.Build();
        var (states, transitions, depth, took, broken, givenUp) = (0L, 0L, 0, TimeSpan.Zero, 0, 0);
        foreach (var bounds in wanted)
        {
            var watch = Stopwatch.StartNew();
            var right = Explore(library, bounds);
            states += right.States;
            transitions += right.Transitions;
            depth = Math.Max(depth, right.Depth);
            took += watch.Elapsed;
            if (right.Broken is not null) broken++;
            if (!right.IsWhole) givenUp++;
            Console.WriteLine(
                $"  up to {bounds.Faults} faults of the line and {bounds.Incidents} incidents on any way: {right.States} states, {right.Transitions} transitions, depth {right.Depth}, "
                + (right.IsClosed ? "closed: nothing new is left however deep" : right.IsWhole ? "every way of so many events" : "given up there")
                + $", {FigureLine.Text(watch.Elapsed.TotalSeconds)} s; {right.RigStates} states of the firmware in {right.RigSteps} runs of it, {right.InterlockStates} of the host's interlocks");
            if (right.Broken is not null) Console.WriteLine(right.Broken);
        }

        var (found, planted) = (0, 0);
        foreach (var (name, machine) in HostFaults.All) Note(name, Explore(library, Planted, machine));
        foreach (var mutation in Mutation.Read(File.ReadAllText(Path.Combine(FirmwareLibrary.Root(), Mutation.List))).Where(m => FirmwareRows.Found.Contains(m.Id) || FirmwareRows.FoundDeep.Contains(m.Id)))
        {
            var copy = Directory.CreateTempSubdirectory("sweeprig-explored-");
            try
            {
                Note(mutation.Id, Explore(FirmwareLibrary.BuildChanged(copy.FullName, mutation.File, mutation.Apply), FirmwareRows.Found.Contains(mutation.Id) ? Planted : Deep));
            }
            finally
            {
                copy.Delete(recursive: true);
            }
        }
        return Task.FromResult(new FigureLine(
            "interlock-exploration",
            $"{states} states, {transitions} transitions, depth {depth}, {FigureLine.Text(took.TotalSeconds)} s, {(broken == 0 ? "nothing broken" : "broken")}",
            "nothing broken, nothing given up, every planted fault found", $"{found} of {planted} planted faults found", broken + givenUp == 0 && found == planted && planted >= 10));

        void Note(string name, Explored with)
        {
            planted++;
            if (with.Broken is not null) found++;
            Console.WriteLine($"  {name,-44} {with.Broken?.Invariant ?? "NOT FOUND",-32} {with.States} states");
        }
    }

    private static Explored Explore(string library, Bounds bounds, HostFaults.Machine? machine = null)
    {
        using var explorer = new Explorer(library, machine);
        return explorer.Run(bounds);
    }
}
