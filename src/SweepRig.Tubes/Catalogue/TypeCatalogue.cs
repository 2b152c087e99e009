namespace SweepRig.Tubes.Catalogue;

/// <summary>The types that the project knows, each read from its own document in <c>Types</c>.</summary>
/// <remarks>Nearly all values are from memory of common tables and say so; read the maker's sheet before relying on one.</remarks>
public static class TypeCatalogue
{
    /// <summary>All types, by name.</summary>
    public static IReadOnlyList<TubeType> All { get; } = [.. TypeDocument.Brought.Select(Read)];

    private static readonly Dictionary<string, TubeType> ByName = Index();

    /// <summary>The type of that name or alias; upper and lower case and surrounding spaces do not matter. None when unknown.</summary>
    public static TubeType? Find(string name)
    {
        ArgumentNullException.ThrowIfNull(name);
        return ByName.GetValueOrDefault(name.Trim());
    }

    private static TubeType Read(string json)
    {
        var read = TypeDocument.Parse(json);
        if (!read.IsAccepted) throw new InvalidOperationException($"SweepRig bug: a type of the catalogue is refused: {string.Join(" ", read.Refusals)}");
        return read.Value with { Example = ExampleTubes.Of(read.Value.Name) };
    }

    private static Dictionary<string, TubeType> Index()
    {
        var index = new Dictionary<string, TubeType>(StringComparer.OrdinalIgnoreCase);
        foreach (var type in All)
        {
            foreach (var name in type.Aliases.Prepend(type.Name)) index.Add(name, type);
        }
        return index;
    }
}
