using System.Collections.Concurrent;
using System.Reflection;
using System.Runtime.Loader;

namespace SweepRig.Benchmarks.Mutations;

/// <summary>
/// The tests with a changed SweepRig.Sweeps beside the unchanged ones, in this process. What is built on SweepRig.Sweeps is loaded anew for each change; everything else is shared.
/// </summary>
internal sealed class MutantContext : AssemblyLoadContext
{
    /// <summary>What was read of assemblies that are built on the changed one; null for one that is not.</summary>
    private static readonly ConcurrentDictionary<string, byte[]?> Images = new();

    private readonly string _built;
    private readonly string _changed;

    private readonly FieldInfo _id;

    /// <param name="built">Where the tests lie.</param>
    /// <param name="changed">Name of the assembly that is changed.</param>
    /// <param name="image">What it is changed to.</param>
    /// <param name="id">Which of the changes that it holds is in force.</param>
    public MutantContext(string built, string changed, byte[] image, int id)
        : base(isCollectible: true)
    {
        (_built, _changed) = (built, changed);
        _id = LoadFromStream(new MemoryStream(image)).GetType("SweepRig.Mutations.Mutant", throwOnError: true)!.GetField("Id")!;
        Put(id);
    }

    /// <summary>Puts another of its changes in force; 0 for none.</summary>
    public void Put(int id) => _id.SetValue(null, id);

    public Assembly Tests => LoadFromAssemblyName(new($"{_changed}.Tests"));

    /// <summary>True for an assembly that refers to the changed one, so that it must be loaded beside it.</summary>
    private bool IsBuiltOnIt(string path)
    {
        using var reader = new System.Reflection.PortableExecutable.PEReader(File.OpenRead(path));
        var metadata = System.Reflection.Metadata.PEReaderExtensions.GetMetadataReader(reader);
        return metadata.AssemblyReferences.Any(r => metadata.GetString(metadata.GetAssemblyReference(r).Name) == _changed);
    }

    protected override Assembly? Load(AssemblyName name)
    {
        if (name.Name == _changed) return Assemblies.Single(a => a.GetName().Name == _changed);
        var path = Path.Combine(_built, name.Name + ".dll");
        if (!File.Exists(path)) return null;
        if (!name.Name!.StartsWith("SweepRig.", StringComparison.Ordinal)) return Default.LoadFromAssemblyPath(path);
        return Images.GetOrAdd(path, p => IsBuiltOnIt(p) ? File.ReadAllBytes(p) : null) is { } image ? LoadFromStream(new MemoryStream(image)) : Default.LoadFromAssemblyPath(path);
    }
}
