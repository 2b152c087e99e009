namespace SweepRig.Benchmarks.Mutations;

/// <summary>
/// Every protection of <c>firmware-notes/interlocks.md</c> is taken out in turn, in a clone of the commit that is checked out, and the test that its row
/// names must fail. SWEEPRIG_PROTECTIONS may name some rows ("H1 H2") instead of all; SWEEPRIG_WRITE_REMOVALS=1 writes what was found into the rows. Takes some seconds a row.
/// </summary>
internal static class InterlockMutations
{
    public static async Task<FigureLine> MeasureAsync()
    {
        var here = FindRoot();
        var copy = Directory.CreateTempSubdirectory("sweeprig-mutations-");
        try
        {
            await GitAsync(here, "clone", "--quiet", here, copy.FullName);
            var protections = Protection.Read(await File.ReadAllTextAsync(Path.Combine(copy.FullName, Protection.Document)));
            var mutations = Mutation.Read(await File.ReadAllTextAsync(Path.Combine(copy.FullName, Mutation.List))).ToDictionary(m => m.Id);
            var chosen = Environment.GetEnvironmentVariable("SWEEPRIG_PROTECTIONS")?.Split(' ', StringSplitOptions.RemoveEmptyEntries);
            var write = Environment.GetEnvironmentVariable("SWEEPRIG_WRITE_REMOVALS") == "1";
            var run = new MutationRun(copy.FullName);
            var counts = new Dictionary<MutationResult, int>();
            // By project, so that each is built once and its own time is seen.
            foreach (var protection in protections.Where(p => chosen is null || chosen.Contains(p.Id)).OrderBy(p => p.Project, StringComparer.Ordinal))
            {
                var mutation = mutations[protection.Id];
                var result = await run.TryAsync(protection, mutation);
                counts[result] = counts.GetValueOrDefault(result) + 1;
                Console.WriteLine($"  {protection.Id,-4} {result,-12} {protection.What} ({protection.Test})");
                if (write) await NoteAsync(here, new(protection.Id, result, DateOnly.FromDateTime(TimeProvider.System.GetUtcNow().UtcDateTime), Removal.MarkOf(protection, mutation)));
            }
            var all = counts.Values.Sum();
            var noticed = counts.GetValueOrDefault(MutationResult.Noticed);
            return new("interlock-mutations", $"{noticed} of {all} protections missed when taken out", "all of them",
                $"{all} baselines run first, {counts.GetValueOrDefault(MutationResult.NoBaseline)} without one", noticed == all && all > 0);
        }
        finally
        {
            copy.Delete(recursive: true);
        }
    }

    /// <summary>After each row, so that a run that is broken off has lost nothing.</summary>
    private static async Task NoteAsync(string root, Removal removal)
    {
        var (list, document) = (Path.Combine(root, Removal.List), Path.Combine(root, Protection.Document));
        var found = Removal.Read(File.Exists(list) ? await File.ReadAllTextAsync(list) : "").ToDictionary();
        found[removal.Id] = removal;
        var notes = await File.ReadAllTextAsync(document);
        await File.WriteAllTextAsync(list, Removal.Write(Protection.Read(notes), found));
        await File.WriteAllTextAsync(document, Protection.WithRemovals(notes, found));
    }

    private static async Task GitAsync(string folder, params string[] arguments)
    {
        var (good, said) = await Command.RunAsync(folder, "git", arguments);
        if (!good) throw new InvalidOperationException($"git {string.Join(' ', arguments)} failed: {said}");
    }

    private static string FindRoot()
    {
        var directory = new DirectoryInfo(AppContext.BaseDirectory);
        while (directory is not null && !File.Exists(Path.Combine(directory.FullName, "SweepRig.sln"))) directory = directory.Parent;
        return directory?.FullName ?? throw new InvalidOperationException($"No SweepRig.sln above {AppContext.BaseDirectory}.");
    }
}
