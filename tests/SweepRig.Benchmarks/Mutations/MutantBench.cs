using System.Runtime.Loader;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.Text;

namespace SweepRig.Benchmarks.Mutations;

/// <summary>One change, ready to be tried.</summary>
/// <param name="Image">The assembly that holds it; null if it does not compile.</param>
/// <param name="Id">Its number in there; 0 if it is in force always.</param>
internal sealed record ReadyMutant(SourceMutant Mutant, byte[]? Image, int Id);

/// <summary>
/// Compiles SweepRig.Sweeps with changes in it, in memory, and lets the tests of the interlocks run against each until one fails. The tests are those that are built; only this
/// one assembly is put in the place of its own, anew for each change, so that nothing that was worked out with another is left.
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

    /// <returns>The test that fails with nothing changed; null as it should be.</returns>
    public Task<string?> BaselineAsync() => FirstFailureAsync(Image(_whole, out var faults) ?? throw new InvalidOperationException($"{Sweeps} does not compile: {faults[0]}"), 0);

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
                ready.AddRange(schema.Ids.Select(i => new ReadyMutant(i.Key, image, i.Value)));
                held.RemoveAll(schema.Ids.ContainsKey);
                break;
            }
            var broken = faults.Select(f => f.Location.SourceTree?.FilePath == _trees[file].FilePath ? schema.At(f.Location.SourceSpan) : null).OfType<SourceMutant>().ToHashSet();
            if (broken.Count == 0) break;
            ready.AddRange(broken.Select(m => new ReadyMutant(m, null, 0)));
            held.RemoveAll(broken.Contains);
        }
        ready.AddRange(held.Select(m => new ReadyMutant(m, Image(With(file, _trees[file].GetText().WithChanges(new TextChange(m.Span, m.Put)).ToString()), out _), 0)));
        return ready;
    }

    /// <returns>The test that noticed the change; null if none did.</returns>
    public async Task<string?> FirstFailureAsync(byte[] image, int id)
    {
        var context = new MutantContext(_built, Sweeps, image, id);
        try
        {
            _tests ??= new(context.Tests, Suites);
            return await _tests.FirstFailureAsync(context.Tests);
        }
        finally
        {
            context.Unload();
        }
    }

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
