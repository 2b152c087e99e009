using System.Diagnostics;

namespace SweepRig.Benchmarks.Mutations;

/// <summary>
/// Every protection of <c>firmware-notes/interlocks.md</c> is taken out in turn, in a clone of the commit that is checked out, and the test that its row
/// names must fail. SWEEPRIG_PROTECTIONS may name some rows ("H1 H2") instead of all. Takes some tens of seconds a row.
/// </summary>
internal static class InterlockMutations
{
    public static async Task<FigureLine> MeasureAsync()
    {
        var here = FindRoot();
        var copy = Directory.CreateTempSubdirectory("sweeprig-mutations-");
        try
        {
            await GitAsync("clone", "--quiet", here, copy.FullName);
            var protections = Protection.Read(await File.ReadAllTextAsync(Path.Combine(copy.FullName, Protection.Document)));
            var mutations = Mutation.Read(await File.ReadAllTextAsync(Path.Combine(copy.FullName, Mutation.List))).ToDictionary(m => m.Id);
            var chosen = Environment.GetEnvironmentVariable("SWEEPRIG_PROTECTIONS")?.Split(' ', StringSplitOptions.RemoveEmptyEntries);
            var run = new MutationRun(copy.FullName);
            var counts = new Dictionary<MutationResult, int>();
            // By project, so that each build changes little.
            foreach (var protection in protections.Where(p => chosen is null || chosen.Contains(p.Id)).OrderBy(p => p.Project, StringComparer.Ordinal))
            {
                var result = await run.TryAsync(protection, mutations[protection.Id]);
                counts[result] = counts.GetValueOrDefault(result) + 1;
                Console.WriteLine($"  {protection.Id,-4} {result,-12} {protection.What} ({protection.Test})");
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

    private static async Task GitAsync(params string[] arguments)
    {
        using var git = Process.Start("git", arguments);
        await git.WaitForExitAsync();
        if (git.ExitCode != 0) throw new InvalidOperationException($"git {string.Join(' ', arguments)} ended with {git.ExitCode}.");
    }

    private static string FindRoot()
    {
        var directory = new DirectoryInfo(AppContext.BaseDirectory);
        while (directory is not null && !File.Exists(Path.Combine(directory.FullName, "SweepRig.sln"))) directory = directory.Parent;
        return directory?.FullName ?? throw new InvalidOperationException($"No SweepRig.sln above {AppContext.BaseDirectory}.");
    }
}
