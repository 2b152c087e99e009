using System.Diagnostics;
using SweepRig.Benchmarks.Mutations;
using SweepRig.Wire.Exploration;

namespace SweepRig.Benchmarks.Interlocks;

/// <summary>
/// Firmware core, line and host interlocks explored together, and the same with faults planted in each: what is right must break nothing, what is wrong must be found.
/// SWEEPRIG_EXPLORE may give the widest bounds: faults, incidents, depth, states ("2 2 8 20000000").
/// </summary>
internal static class InterlockExploration
{
    private const int Most = 12_000_000;

    private static readonly Bounds Planted = new(Faults: 1, Incidents: 1, Depth: 8, States: 5_000_000);

    public static Task<FigureLine> MeasureAsync()
    {
        var widest = Environment.GetEnvironmentVariable("SWEEPRIG_EXPLORE")?.Split(' ').Select(int.Parse).ToArray() is { Length: 4 } b ? new(b[0], b[1], b[2], b[3]) : new Bounds(2, 2, 7, Most);
        var library = FirmwareLibrary.Build();
        var (states, transitions, depth, took, broken) = (0L, 0L, 0, TimeSpan.Zero, 0);
        foreach (var bounds in new Bounds[] { new(0, 0, 1000, Most), new(0, 1, 1000, Most), new(1, 0, 1000, Most), widest })
        {
            var watch = Stopwatch.StartNew();
            var right = Explore(library, bounds);
            states += right.States;
            transitions += right.Transitions;
            depth = Math.Max(depth, right.Depth);
            took += watch.Elapsed;
            if (right.Broken is not null) broken++;
            Console.WriteLine(
                $"  up to {bounds.Faults} faults of the line and {bounds.Incidents} incidents on any way: {right.States} states, {right.Transitions} transitions, depth {right.Depth}, "
                + (right.IsClosed ? "closed: nothing new is left however deep" : right.IsWhole ? "everything to that depth" : "given up there")
                + $", {FigureLine.Text(watch.Elapsed.TotalSeconds)} s; {right.RigStates} states of the firmware in {right.RigSteps} runs of it, {right.InterlockStates} of the host's interlocks");
            if (right.Broken is not null) Console.WriteLine(right.Broken);
        }

        var (found, planted) = (0, 0);
        foreach (var (name, machine) in HostFaults.All) Note(name, Explore(library, Planted, machine));
        foreach (var mutation in Mutation.Read(File.ReadAllText(Path.Combine(FirmwareLibrary.Root(), Mutation.List))).Where(m => FirmwareRows.Found.Contains(m.Id)))
        {
            var copy = Directory.CreateTempSubdirectory("sweeprig-explored-");
            try
            {
                Note(mutation.Id, Explore(FirmwareLibrary.BuildChanged(copy.FullName, mutation.File, mutation.Apply), Planted));
            }
            finally
            {
                copy.Delete(recursive: true);
            }
        }
        return Task.FromResult(new FigureLine(
            "interlock-exploration",
            $"{states} states, {transitions} transitions, depth {depth}, {FigureLine.Text(took.TotalSeconds)} s, {(broken == 0 ? "nothing broken" : "broken")}",
            "nothing broken, every planted fault found", $"{found} of {planted} planted faults found", broken == 0 && found == planted && planted >= 10));

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
