namespace SweepRig.Benchmarks.Mutations;

/// <summary>
/// Every small change of the host's interlocks must make a test fail, or <c>tests/interlock-mutants.txt</c> says why it cannot. Takes a second or two a change; needs the tests
/// of SweepRig.Sweeps built in Release. SWEEPRIG_MUTANTS may name some files ("InterlockMachine.cs") instead of all; with SWEEPRIG_MUTANTS_TOLD set it also says which test noticed each.
/// </summary>
internal static class InterlockMutants
{
    public const string Explained = "tests/interlock-mutants.txt";

    private const string Folder = "src/SweepRig.Sweeps/Interlocks/";

    private const int AtOnce = 2;

    public static async Task<FigureLine> MeasureAsync()
    {
        var root = Wire.Exploration.FirmwareLibrary.Root();
        var bench = new MutantBench(root);
        if (await bench.BaselineAsync() is { } failing)
            throw new InvalidOperationException($"{failing} fails with nothing changed; build tests/SweepRig.Sweeps.Tests in Release first.");
        var chosen = Environment.GetEnvironmentVariable("SWEEPRIG_MUTANTS")?.Split(' ', StringSplitOptions.RemoveEmptyEntries);
        var tells = Environment.GetEnvironmentVariable("SWEEPRIG_MUTANTS_TOLD") is not null;
        var files = bench.Files(Folder).Where(f => chosen?.Contains(Path.GetFileName(f)) ?? true).ToList();
        var explained = Read(await File.ReadAllTextAsync(Path.Combine(root, Explained)));
        var (killed, known, unknown, broken) = (0, 0, 0, 0);
        foreach (var file in files)
        {
            var ready = bench.Ready(file, MutantMaker.Of(file, bench.Source(file)));
            broken += ready.Count(m => m.Image is null);
            await Parallel.ForEachAsync(ready.Where(m => m.Image is not null), new ParallelOptions { MaxDegreeOfParallelism = AtOnce }, async (mutant, _) =>
                Note(mutant.Mutant, await bench.FirstFailureAsync(mutant.Image!, mutant.Id)));
            Console.WriteLine($"  {file}: {ready.Count} changes, so far {killed} noticed, {known} explained, {unknown} neither, {broken} do not compile");
        }
        return new("interlock-mutants", $"{killed} of {killed + known + unknown} small changes noticed, {known} more explained, {unknown} neither", "every one noticed or explained",
            $"{broken} that do not compile, not counted", unknown == 0 && killed > 0);

        void Note(SourceMutant mutant, string? by)
        {
            if (by is not null)
            {
                Interlocked.Increment(ref killed);
                if (tells) Console.WriteLine($"  {by} notices {mutant.File}:{mutant.Line} {mutant.Key}");
                return;
            }
            var why = explained.GetValueOrDefault(mutant.Key);
            if (why is null) Interlocked.Increment(ref unknown);
            else Interlocked.Increment(ref known);
            Console.WriteLine($"  {(why is null ? "SURVIVED" : "explained")} {mutant.File}:{mutant.Line} {mutant.Key}");
        }
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
