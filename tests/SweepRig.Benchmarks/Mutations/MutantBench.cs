using System.Runtime.Loader;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.Text;

namespace SweepRig.Benchmarks.Mutations;

/// <summary>One change, ready to be tried.</summary>
/// <param name="Image">The assembly that holds it; null if it does not compile.</param>
/// <param name="Id">Its number in there; 0 if it is in force always.</param>
/// <param name="IsInMethod">It acts whenever a method is called, not once when a class is first used.</param>
internal sealed record ReadyMutant(SourceMutant Mutant, byte[]? Image, int Id, bool IsInMethod);

/// <summary>
/// Compiles SweepRig.Sweeps with changes in it, in memory, and lets the tests of the interlocks run against each until one fails. The tests are those that are built; only this
/// one assembly is put in the place of its own. What is worked out once, when a class is first used, must not outlive a change: where a file has many changes of methods, its tests are run with none
/// first, and then with each; what notices one must pass again without it; and a change that nothing notices in that way, like all others, gets an assembly of its own and all tests.
/// </summary>
internal sealed class MutantBench
{
    private const string Tests = "SweepRig.Sweeps.Tests", Sweeps = "SweepRig.Sweeps";

    /// <summary>Namespaces of tests.</summary>
    private static readonly string[] Suites = [$"{Tests}.Interlocks", $"{Tests}.Running"];

    private readonly string _built;
    private MutantTests? _tests;
    private readonly CSharpCompilation _whole;
    private readonly Dictionary<string, SyntaxTree> _trees;

    public MutantBench(string root)
    {
        _built = Path.Combine(root, "tests", Tests, "bin/Release/net10.0");
        // What the tests bring along and this program does not.
        AssemblyLoadContext.Default.Resolving += (context, name) =>
            Path.Combine(_built, name.Name + ".dll") is var path && File.Exists(path) ? context.LoadFromAssemblyPath(path) : null;
        var options = new CSharpParseOptions(LanguageVersion.Latest);
        _trees = Sources(Path.Combine(root, "src", Sweeps)).ToDictionary(f => Path.GetRelativePath(root, f), f => CSharpSyntaxTree.ParseText(File.ReadAllText(f), options, f));
        var framework = Path.GetDirectoryName(typeof(object).Assembly.Location)!;
        var references = Directory.EnumerateFiles(framework, "*.dll").Where(f => Path.GetFileName(f) is var n && (n.StartsWith("System.", StringComparison.Ordinal) || n.StartsWith("netstandard", StringComparison.Ordinal)))
            .Concat(Directory.EnumerateFiles(_built, "SweepRig.*.dll")).Concat(Directory.EnumerateFiles(_built, "Microsoft.Extensions.*.dll"))
            .Where(f => Path.GetFileNameWithoutExtension(f) is not Sweeps and not Tests and not "SweepRig.Wire" && IsManaged(f))
            .Select(f => MetadataReference.CreateFromFile(f));
        var plain = CSharpCompilation.Create(
            Sweeps, _trees.Values.Append(CSharpSyntaxTree.ParseText(MutantSchema.Switch, options)), references,
            new CSharpCompilationOptions(OutputKind.DynamicallyLinkedLibrary, nullableContextOptions: NullableContextOptions.Enable, optimizationLevel: OptimizationLevel.Release, deterministic: true));
        CSharpGeneratorDriver.Create(Generators(framework).Select(g => g.AsSourceGenerator()), parseOptions: options).RunGeneratorsAndUpdateCompilation(plain, out var whole, out _);
        _whole = (CSharpCompilation)whole;
    }

    public IEnumerable<string> Files(string folder) =>
        _trees.Keys.Where(f => f.StartsWith(folder, StringComparison.Ordinal)).Order(StringComparer.Ordinal);

    public string Source(string file) => _trees[file].ToString();

    /// <summary>From so many changes on it pays to run the tests with none first.</summary>
    private const int Many = 12;

    /// <returns>The test that fails with nothing changed; null as it should be.</returns>
    public Task<string?> BaselineAsync() => AloneAsync(Image(_whole, out var faults) ?? throw new InvalidOperationException($"{Sweeps} does not compile: {faults[0]}"), 0);

    /// <summary>Compiles all changes of a file, as many at once as can be.</summary>
    public IReadOnlyList<ReadyMutant> Ready(string file, IReadOnlyList<SourceMutant> mutants)
    {
        _tests?.BeginFile();
        var ready = new List<ReadyMutant>();
        var held = mutants.ToList();
        while (held.Count > 0)
        {
            var schema = MutantSchema.Of(Source(file), held);
            if (Image(With(file, schema.Text), out var faults) is { } image)
            {
                ready.AddRange(schema.Ids.Select(i => new ReadyMutant(i.Key, image, i.Value, schema.IsInMethod(i.Key))));
                held.RemoveAll(schema.Ids.ContainsKey);
                break;
            }
            var broken = faults.Select(f => f.Location.SourceTree?.FilePath == _trees[file].FilePath ? schema.At(f.Location.SourceSpan) : null).OfType<SourceMutant>().ToHashSet();
            if (broken.Count == 0) break;
            ready.AddRange(broken.Select(m => new ReadyMutant(m, null, 0, false)));
            held.RemoveAll(broken.Contains);
        }
        ready.AddRange(held.Select(m => new ReadyMutant(m, Image(With(file, _trees[file].GetText().WithChanges(new TextChange(m.Span, m.Put)).ToString()), out _), 0, false)));
        return ready;
    }

    /// <summary>Tries changes of one file, and tells of each which test noticed it, null for none; from two threads at once.</summary>
    public async Task TryAsync(IReadOnlyList<ReadyMutant> ready, int atOnce, Action<SourceMutant, string?> tell)
    {
        var together = ready.Where(m => m.IsInMethod).ToList();
        if (together.Count < Many) together = [];
        await Task.WhenAll(together.Select((m, i) => (m, i)).GroupBy(p => p.i % atOnce, p => p.m).Select(part => Task.Run(() => TogetherAsync([.. part], tell))));
        await Parallel.ForEachAsync(ready.Except(together).Where(m => m.Image is not null), new ParallelOptions { MaxDegreeOfParallelism = atOnce }, async (mutant, _) =>
            tell(mutant.Mutant, await AloneAsync(mutant.Image!, mutant.Id)));
    }

    private async Task TogetherAsync(IReadOnlyList<ReadyMutant> mutants, Action<SourceMutant, string?> tell)
    {
        var context = await WarmAsync(mutants[0].Image!);
        foreach (var mutant in mutants)
        {
            context.Put(mutant.Id);
            var by = await _tests!.FirstFailureAsync(context.Tests, quick: true);
            context.Put(0);
            if (by is not null && !await _tests.PassesAsync(by))
            {
                // The change has left something behind.
                by = null;
                context.Unload();
                context = await WarmAsync(mutant.Image!);
            }
            tell(mutant.Mutant, by is null ? await AloneAsync(mutant.Image!, mutant.Id) : NameOf(by));
        }
        context.Unload();
    }

    private async Task<MutantContext> WarmAsync(byte[] image)
    {
        var context = new MutantContext(_built, Sweeps, image, 0);
        if (await _tests!.FirstFailureAsync(context.Tests, quick: true) is { } failed) throw new InvalidOperationException($"{NameOf(failed)} fails with nothing changed.");
        return context;
    }

    /// <returns>The test that noticed the change; null if none did.</returns>
    private async Task<string?> AloneAsync(byte[] image, int id)
    {
        var context = new MutantContext(_built, Sweeps, image, id);
        try
        {
            _tests ??= new(context.Tests, Suites);
            return await _tests.FirstFailureAsync(context.Tests) is { } failed ? NameOf(failed) : null;
        }
        finally
        {
            context.Unload();
        }
    }

    private static string NameOf(System.Reflection.MethodInfo test) => $"{test.DeclaringType!.Name}.{test.Name}";

    private CSharpCompilation With(string file, string text) =>
        _whole.ReplaceSyntaxTree(_trees[file], CSharpSyntaxTree.ParseText(text, (CSharpParseOptions)_trees[file].Options, _trees[file].FilePath));

    private static byte[]? Image(CSharpCompilation compilation, out IReadOnlyList<Diagnostic> faults)
    {
        using var image = new MemoryStream();
        var emitted = compilation.Emit(image);
        faults = [.. emitted.Diagnostics.Where(d => d.Severity == DiagnosticSeverity.Error)];
        return emitted.Success ? image.ToArray() : null;
    }

    private static IEnumerable<string> Sources(string project) =>
        Directory.EnumerateFiles(project, "*.cs", SearchOption.AllDirectories)
            .Where(f => !f.Contains("/bin/", StringComparison.Ordinal) && (!f.Contains("/obj/", StringComparison.Ordinal) || f.Contains("/obj/Release/", StringComparison.Ordinal)));

    /// <summary>What the SDK runs with every compilation: it writes the readers of JSON.</summary>
    private static IEnumerable<IIncrementalGenerator> Generators(string framework)
    {
        var packs = Path.GetFullPath(Path.Combine(framework, "../../../packs/Microsoft.NETCore.App.Ref"));
        foreach (var file in Directory.EnumerateFiles(packs, "System.Text.Json.SourceGeneration.dll", SearchOption.AllDirectories).Where(f => Path.GetFileName(Path.GetDirectoryName(f)) == "cs"))
            foreach (var type in AssemblyLoadContext.Default.LoadFromAssemblyPath(file).GetTypes().Where(t => t.IsDefined(typeof(GeneratorAttribute), false)))
                if (Activator.CreateInstance(type) is IIncrementalGenerator generator) yield return generator;
    }

    private static bool IsManaged(string file)
    {
        using var stream = File.OpenRead(file);
        using var reader = new System.Reflection.PortableExecutable.PEReader(stream);
        return reader.HasMetadata;
    }
}
