namespace SweepRig.Tubes.Catalogue;

/// <summary>Types by name: those that the project brings, each read from its own document in <c>Types</c>, and those of a user beside them.</summary>
/// <remarks>Nearly all values that the project brings are from memory of common tables and say so; read the maker's sheet before relying on one.</remarks>
public sealed class TypeCatalogue
{
    private readonly Dictionary<string, TubeType> _byName;

    private TypeCatalogue(IReadOnlyList<TubeType> types)
    {
        All = types;
        _byName = new(StringComparer.OrdinalIgnoreCase);
        foreach (var type in types)
        {
            foreach (var name in type.Names) _byName.Add(name, type);
        }
    }

    /// <summary>What the project brings.</summary>
    public static TypeCatalogue BuiltIn { get; } = new([.. TypeDocument.Brought.Select(Read)]);

    /// <summary>All types, by name.</summary>
    public IReadOnlyList<TubeType> All { get; }

    /// <summary>The type of that name or alias; upper and lower case and surrounding spaces do not matter. None when unknown.</summary>
    public TubeType? Find(string name)
    {
        ArgumentNullException.ThrowIfNull(name);
        return _byName.GetValueOrDefault(name.Trim());
    }

    /// <summary>This catalogue with the types of a user. What is at fault is left out and told; it never takes the place of anything.</summary>
    public CatalogueReading With(IReadOnlyList<TypeFile> files)
    {
        ArgumentNullException.ThrowIfNull(files);
        var (types, faults) = (All.ToList(), new List<TypeFault>());
        foreach (var file in files.OrderBy(f => f.Name, StringComparer.Ordinal))
        {
            var read = TypeDocument.Parse(file.Json);
            if (!read.IsAccepted)
            {
                faults.AddRange(read.Refusals.Select(r => new TypeFault(file.Name, r)));
                continue;
            }
            var type = read.Value with { File = file.Name };
            if (UserTypeRules.Fault(type, types) is { } fault)
            {
                faults.Add(new(file.Name, fault));
                continue;
            }
            if (type.Replaces is not null)
            {
                var replaced = types.Single(t => t.IsCalled(type.Replaces));
                types.Remove(replaced);
                // The constants of the simulated bench are no ratings: they stay.
                type = type with { Example = replaced.Example };
            }
            types.Add(type);
        }
        return new(new([.. types.OrderBy(t => t.Name, StringComparer.Ordinal)]), faults);
    }

    private static TubeType Read(string json)
    {
        var read = TypeDocument.Parse(json);
        if (!read.IsAccepted) throw new InvalidOperationException($"SweepRig bug: a type of the catalogue is refused: {string.Join(" ", read.Refusals)}");
        return read.Value with { Example = ExampleTubes.Of(read.Value.Name) };
    }
}
