using SweepRig.Service.Types;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Archives;

/// <summary>Types as documents: those that the project brings, and the user's own.</summary>
public static class TypeDocuments
{
    /// <returns>The document of a type by its name or an alias; null where it is not known.</returns>
    public static Func<string, string?> Of(string dataDirectory)
    {
        var catalogue = UserTypes.Read(dataDirectory).Catalogue;
        var files = UserTypes.Texts(dataDirectory).Files.ToDictionary(f => f.Name, f => f.Json, StringComparer.Ordinal);
        return name => catalogue.Find(name) is not { } type ? null : type.File is { } file ? files.GetValueOrDefault(file) : TypeDocument.Text(type.Name);
    }

    /// <summary>Types of an archive that are not known here, with their documents; what cannot be read is left out.</summary>
    public static IReadOnlyList<(string Name, string Json)> Unknown(IEnumerable<string> documents, TypeCatalogue here)
    {
        ArgumentNullException.ThrowIfNull(documents);
        ArgumentNullException.ThrowIfNull(here);
        return [.. documents.Select(d => (Type: TypeDocument.Parse(d).Value, Json: d)).Where(t => t.Type is { } type && here.Find(type.Name) is null).Select(t => (t.Type!.Name, t.Json))];
    }

    /// <summary>Puts documents into the folder of the user's types, but none that stands against what is there: a bench does not start with a type at fault.</summary>
    /// <returns>A line for each.</returns>
    /// <exception cref="IOException">One cannot be written.</exception>
    public static async Task<IReadOnlyList<string>> KeepAsync(string dataDirectory, IReadOnlyList<(string Name, string Json)> types, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(types);
        List<string> told = [];
        foreach (var (name, json) in types)
        {
            var file = string.Concat(name.Select(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_' ? c : '_')) + ".json";
            var path = Path.Combine(Directory.CreateDirectory(UserTypes.PlaceOf(dataDirectory)).FullName, file);
            var faults = UserTypes.Read(dataDirectory).Catalogue.With([new(file, json)]).Faults;
            if (faults.Count > 0 || File.Exists(path))
            {
                told.Add($"Type {name} is left out: {(faults.Count > 0 ? faults[0].Refusal.ToString() : $"{path} is there already")}");
                continue;
            }
            await File.WriteAllTextAsync(path, json, cancellationToken);
            told.Add($"Type {name} is new here, as {path}. Look at it before you sweep one: sweeprig types show \"{name}\".");
        }
        return told;
    }
}
