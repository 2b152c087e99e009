namespace SweepRig.Benchmarks.Mutations;

/// <summary>
/// Every small change of what decides in the host's interlocks must make a test fail, or <c>tests/interlock-mutants.txt</c> says why it cannot. Takes some seconds a change; needs the tests
/// of SweepRig.Sweeps built in Release. SWEEPRIG_MUTANTS may name some files ("InterlockMachine.cs") instead of all.
/// </summary>
internal static class InterlockMutants
{
    public const string Explained = "tests/interlock-mutants.txt";

    private const string Folder = "src/SweepRig.Sweeps/Interlocks/";

    /// <summary>What decides, and what judges the decision; the tables of rules have tests of their own.</summary>
    private static readonly string[] Files = ["InterlockMachine.cs", "InterlockState.cs", "BlockSummary.cs", "HostLimits.cs", "InterlockMoment.cs", "StepInvariants.cs", "BenchInvariants.cs", "LatchMove.cs"];

    private const int AtOnce = 2;

    public static async Task<FigureLine> MeasureAsync()
    {
        var root = Wire.Exploration.FirmwareLibrary.Root();
        var bench = new MutantBench(root);
        if (!await bench.BaselineAsync()) throw new InvalidOperationException("The tests fail with nothing changed; build tests/SweepRig.Sweeps.Tests in Release first.");
        var chosen = Environment.GetEnvironmentVariable("SWEEPRIG_MUTANTS")?.Split(' ', StringSplitOptions.RemoveEmptyEntries) ?? Files;
        var mutants = bench.Files(Folder).Where(f => chosen.Contains(Path.GetFileName(f))).SelectMany(f => MutantMaker.Of(f, bench.Source(f))).ToList();
        var explained = Read(await File.ReadAllTextAsync(Path.Combine(root, Explained)));
        var (killed, known, unknown, broken) = (0, 0, 0, 0);
        await Parallel.ForEachAsync(mutants, new ParallelOptions { MaxDegreeOfParallelism = AtOnce }, async (mutant, _) =>
        {
            switch (await bench.TryAsync(mutant))
            {
                case MutantEnd.Killed:
                    Interlocked.Increment(ref killed);
                    break;
                case MutantEnd.DoesNotCompile:
                    Interlocked.Increment(ref broken);
                    break;
                default:
                    var why = explained.GetValueOrDefault(mutant.Key);
                    if (why is null) Interlocked.Increment(ref unknown);
                    else Interlocked.Increment(ref known);
                    Console.WriteLine($"  {(why is null ? "SURVIVED" : "explained")} {mutant.File}:{mutant.Line} {mutant.Key}");
                    break;
            }
        });
        return new("interlock-mutants", $"{killed} of {killed + known + unknown} small changes noticed, {known} more explained, {unknown} neither", "every one noticed or explained",
            $"{broken} that do not compile, not counted", unknown == 0 && killed > 0);
    }

    /// <summary>A key to a line, and below it, indented, why no test can tell.</summary>
    public static IReadOnlyDictionary<string, string> Read(string text)
    {
        var read = new Dictionary<string, string>();
        string? key = null;
        foreach (var line in text.Split('\n'))
        {
            if (line.StartsWith("  ", StringComparison.Ordinal) && key is not null) read[key] = line.Trim();
            else if (line.Length > 0 && line[0] != '#') key = line.TrimEnd();
        }
        return read;
    }
}
