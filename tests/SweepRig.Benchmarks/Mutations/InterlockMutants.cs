using System.Collections.Concurrent;

namespace SweepRig.Benchmarks.Mutations;

/// <summary>
/// Every small change of the host's interlocks must make a test fail, or <c>tests/interlock-mutants.txt</c> says why it cannot. Takes some minutes; needs the tests
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
        var survived = new ConcurrentDictionary<string, bool>();
        var (killed, known, unknown, broken) = (0, 0, 0, 0);
        foreach (var file in files)
        {
            var ready = bench.Ready(file, MutantMaker.Of(file, bench.Source(file)));
            broken += ready.Count(m => m.Image is null);
            await bench.TryAsync(ready, AtOnce, Note);
            Console.WriteLine($"  {file}: {ready.Count} changes, so far {killed} noticed, {known} explained, {unknown} neither, {broken} do not compile");
        }
        // An explanation that nothing needs would excuse a change that is made later.
        var idle = explained.Where(k => !survived.ContainsKey(k) && files.Any(f => k.StartsWith($"{Path.GetFileName(f)} ", StringComparison.Ordinal))).ToList();
        foreach (var key in idle) Console.WriteLine($"  NOTHING SURVIVES of what is explained: {key}");
        return new("interlock-mutants", $"{killed} of {killed + known + unknown} small changes noticed, {known} more explained, {unknown} neither", "every one noticed or explained",
            $"{broken} that do not compile, not counted; {idle.Count} explanations that nothing needs", unknown == 0 && idle.Count == 0 && killed > 0);

        void Note(SourceMutant mutant, string? by)
        {
            if (by is not null)
            {
                Interlocked.Increment(ref killed);
                if (tells) Console.WriteLine($"  {by} notices {mutant.File}:{mutant.Line} {mutant.Key}");
                return;
            }
            survived[mutant.Key] = true;
            var isKnown = explained.Contains(mutant.Key);
            if (isKnown) Interlocked.Increment(ref known);
            else Interlocked.Increment(ref unknown);
            Console.WriteLine($"  {(isKnown ? "explained" : "SURVIVED")} {mutant.File}:{mutant.Line} {mutant.Key}");
        }
    }

    /// <returns>The keys that are explained: lines of which one or more have below them, indented, why no test can tell.</returns>
    /// <exception cref="InvalidOperationException">A key stands there twice or without a reason.</exception>
    public static IReadOnlySet<string> Read(string text)
    {
        var (read, pending) = (new HashSet<string>(), new List<string>());
        var lines = text.Split('\n').Select(l => l.TrimEnd()).Where(l => l.Length > 0 && l[0] != '#');
        foreach (var line in lines)
        {
            if (!line.StartsWith("  ", StringComparison.Ordinal)) pending.Add(line);
            else
            {
                if (pending.Find(k => !read.Add(k)) is { } twice) throw new InvalidOperationException($"{Explained} explains twice: {twice}");
                pending.Clear();
            }
        }
        return pending.Count == 0 ? read : throw new InvalidOperationException($"{Explained} gives no reason for: {pending[0]}");
    }
}
