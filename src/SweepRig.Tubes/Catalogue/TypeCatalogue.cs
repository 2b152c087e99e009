namespace SweepRig.Tubes.Catalogue;

/// <summary>The types that the project knows.</summary>
/// <remarks>Nearly all values are from memory of common tables and say so; read the maker's sheet before relying on one.</remarks>
public static class TypeCatalogue
{
    /// <summary>All types, pentodes first.</summary>
    public static IReadOnlyList<TubeType> All { get; } = [.. PentodeTypes.All, .. OtherTypes.All];

    private static readonly Dictionary<string, TubeType> ByName = Index();

    /// <summary>The type of that name or alias; upper and lower case and surrounding spaces do not matter. None when unknown.</summary>
    public static TubeType? Find(string name)
    {
        ArgumentNullException.ThrowIfNull(name);
        return ByName.GetValueOrDefault(name.Trim());
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
