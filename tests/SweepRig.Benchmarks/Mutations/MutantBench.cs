using System.Diagnostics;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.Text;

namespace SweepRig.Benchmarks.Mutations;

internal enum MutantEnd
{
    Killed,
    Survived,
    DoesNotCompile,
}

/// <summary>
/// Compiles SweepRig.Sweeps with one change in it and lets the tests of the interlocks run against it. The tests are those that are built; only this one assembly is
/// put in the place of its own.
/// </summary>
internal sealed class MutantBench
{
    private const string Tests = "SweepRig.Sweeps.Tests", Sweeps = "SweepRig.Sweeps";

    private static readonly TimeSpan Limit = TimeSpan.FromMinutes(1);

    /// <summary>First those that are quick and near.</summary>
    private static readonly string[][] Suites =
    [
        ["-namespace", $"{Tests}.Interlocks"],
        ["-namespace", $"{Tests}.Running"],
        ["-method", $"{Tests}.Exploration.ExplorationTests.No_invariant_is_broken_within_the_bounds"],
    ];

    private readonly string _root;
    private readonly string _built;
    private readonly CSharpCompilation _whole;
    private readonly Dictionary<string, SyntaxTree> _trees;

    public MutantBench(string root)
    {
        _root = root;
        _built = Path.Combine(root, "tests", Tests, "bin/Release/net10.0");
        var project = Path.Combine(root, "src", Sweeps);
        var options = new CSharpParseOptions(LanguageVersion.Latest);
        _trees = Sources(project).ToDictionary(f => Path.GetRelativePath(root, f), f => CSharpSyntaxTree.ParseText(File.ReadAllText(f), options, f));
        var framework = Path.GetDirectoryName(typeof(object).Assembly.Location)!;
        var references = Directory.EnumerateFiles(framework, "*.dll").Where(f => Path.GetFileName(f) is var n && (n.StartsWith("System.", StringComparison.Ordinal) || n.StartsWith("netstandard", StringComparison.Ordinal)))
            .Concat(Directory.EnumerateFiles(_built, "SweepRig.*.dll")).Concat(Directory.EnumerateFiles(_built, "Microsoft.Extensions.*.dll"))
            .Where(f => Path.GetFileNameWithoutExtension(f) is not Sweeps and not "SweepRig.Sweeps.Tests" and not "SweepRig.Wire" && IsManaged(f))
            .Select(f => MetadataReference.CreateFromFile(f));
        _whole = CSharpCompilation.Create(
            Sweeps, _trees.Values, references,
            new CSharpCompilationOptions(OutputKind.DynamicallyLinkedLibrary, nullableContextOptions: NullableContextOptions.Enable, optimizationLevel: OptimizationLevel.Release, deterministic: true));
    }

    public IEnumerable<string> Files(string folder) =>
        _trees.Keys.Where(f => f.StartsWith(folder, StringComparison.Ordinal)).Order(StringComparer.Ordinal);

    public string Source(string file) => _trees[file].ToString();

    /// <summary>With nothing changed; the tests must pass.</summary>
    public async Task<bool> BaselineAsync() => await TestAsync(_whole) == MutantEnd.Survived;

    public Task<MutantEnd> TryAsync(SourceMutant mutant)
    {
        var tree = _trees[mutant.File];
        var text = tree.GetText();
        var changed = tree.WithChangedText(text.WithChanges(new TextChange(mutant.Span, mutant.Put)));
        return TestAsync(_whole.ReplaceSyntaxTree(tree, changed));
    }

    private static IEnumerable<string> Sources(string project) =>
        Directory.EnumerateFiles(project, "*.cs", SearchOption.AllDirectories)
            .Where(f => !f.Contains("/bin/", StringComparison.Ordinal) && (!f.Contains("/obj/", StringComparison.Ordinal) || f.Contains("/obj/Release/", StringComparison.Ordinal)));

    private static bool IsManaged(string file)
    {
        using var stream = File.OpenRead(file);
        using var reader = new System.Reflection.PortableExecutable.PEReader(stream);
        return reader.HasMetadata;
    }

    private async Task<MutantEnd> TestAsync(CSharpCompilation compilation)
    {
        // Within the project, where the tests look for its sources.
        var place = Directory.CreateDirectory(Path.Combine(_root, "tests", Tests, "obj/mutants", Path.GetRandomFileName()));
        try
        {
            var dll = Path.Combine(place.FullName, Sweeps + ".dll");
            await using (var stream = File.Create(dll))
            {
                var emitted = compilation.Emit(stream);
                if (!emitted.Success) return MutantEnd.DoesNotCompile;
            }
            Furnish(place.FullName);
            foreach (var suite in Suites)
                if (!await PassesAsync(place.FullName, suite)) return MutantEnd.Killed;
            return MutantEnd.Survived;
        }
        finally
        {
            place.Delete(recursive: true);
        }
    }

    /// <summary>What is large is linked; what says where things lie, and what is loaded from where it really lies, is copied.</summary>
    private void Furnish(string place)
    {
        foreach (var entry in Directory.EnumerateFileSystemEntries(_built))
        {
            var name = Path.GetFileName(entry);
            var there = Path.Combine(place, name);
            if (name == Sweeps + ".dll") continue;
            if (name.StartsWith("SweepRig.", StringComparison.Ordinal) || name.EndsWith(".json", StringComparison.Ordinal) || name.StartsWith("xunit", StringComparison.Ordinal)) File.Copy(entry, there);
            else if (Directory.Exists(entry)) Directory.CreateSymbolicLink(there, entry);
            else File.CreateSymbolicLink(there, entry);
        }
    }

    private async Task<bool> PassesAsync(string place, string[] suite)
    {
        var start = new ProcessStartInfo("dotnet", ["exec", Path.Combine(place, Tests + ".dll"), .. suite, "-stoponfail"])
        {
            WorkingDirectory = _root, RedirectStandardOutput = true, RedirectStandardError = true,
        };
        using var process = Process.Start(start)!;
        using var limit = new CancellationTokenSource(Limit);
        var output = process.StandardOutput.ReadToEndAsync(limit.Token);
        var errors = process.StandardError.ReadToEndAsync(limit.Token);
        try
        {
            await process.WaitForExitAsync(limit.Token);
            await errors;
            return process.ExitCode == 0 && !(await output).Contains("Total: 0,", StringComparison.Ordinal);
        }
        catch (OperationCanceledException)
        {
            // A change may leave a test waiting for ever, which is a failure too.
            process.Kill(entireProcessTree: true);
            return false;
        }
    }
}
