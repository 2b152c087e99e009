using System.Security;
using System.Text;
using SweepRig.Domain;
using SweepRig.Service.Hosting;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Types;

/// <summary>The user's own types: one JSON document each in a folder of the data directory, read and checked as the ones that the project brings.</summary>
public static class UserTypes
{
    /// <summary>Name of the folder in the data directory.</summary>
    public const string Folder = "types";

    /// <summary>Most files read.</summary>
    public const int MostFiles = 1_000;

    public static string PlaceOf(string dataDirectory) => Path.Combine(dataDirectory, Folder);

    /// <summary>All types, with what is wrong with the user's; a folder that is not there has none.</summary>
    public static CatalogueReading Read(string dataDirectory)
    {
        var (files, faults) = Texts(dataDirectory);
        var reading = TypeCatalogue.BuiltIn.With(files);
        return reading with { Faults = [.. faults, .. reading.Faults] };
    }

    /// <summary>The documents as they lie there, with what cannot be read.</summary>
    public static (IReadOnlyList<TypeFile> Files, IReadOnlyList<TypeFault> Faults) Texts(string dataDirectory)
    {
        var place = PlaceOf(dataDirectory);
        if (!Directory.Exists(place)) return ([], []);
        string[] paths = [.. Directory.EnumerateFiles(place, "*.json").Take(MostFiles + 1)];
        if (paths.Length > MostFiles)
            return ([], [new(Folder, new("too-many-types", "", $"more than {MostFiles} files are there", $"at most {MostFiles} are read", "Take out those that you do not need."))]);
        var (files, faults) = (new List<TypeFile>(), new List<TypeFault>());
        foreach (var path in paths)
        {
            var text = ReadText(path);
            if (text.IsAccepted) files.Add(text.Value);
            else faults.Add(new(Path.GetFileName(path), text.Refusals[0]));
        }
        return (files, faults);
    }

    /// <summary>For a bench, which is not put together while a type is at fault: a tube of that type would be swept without its limits.</summary>
    /// <exception cref="BenchStartException">A type is at fault.</exception>
    public static TypeCatalogue ReadForBench(string dataDirectory)
    {
        var reading = Read(dataDirectory);
        if (reading.Faults.Count == 0) return reading.Catalogue;
        var (file, refusal) = reading.Faults[0];
        var more = reading.Faults.Count == 1 ? "" : $" And {reading.Faults.Count - 1} more: see sweeprig types list.";
        throw new BenchStartException($"{Path.Combine(PlaceOf(dataDirectory), file)}{(refusal.Path.Length == 0 ? "" : $" {refusal.Path}")}: {refusal.Asked}; {refusal.Allowed}. {refusal.Remedy}{more}", badInput: true);
    }

    /// <returns>The text of a file, or why it cannot be read.</returns>
    public static Outcome<TypeFile> ReadText(string path)
    {
        try
        {
            // Four bytes a character at most; what is longer is refused by its length and not read.
            if (new FileInfo(path).Length > 4L * TypeDocument.MaxCharacters)
                return Outcome<TypeFile>.Refuse(new Refusal("document-too-long", "", $"the file has {new FileInfo(path).Length} bytes", $"at most {TypeDocument.MaxCharacters} characters are read", "Check that this is a tube type."));
            return Outcome<TypeFile>.Accept(new(Path.GetFileName(path), File.ReadAllText(path, Encoding.UTF8)));
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException or SecurityException)
        {
            var why = fault is FileNotFoundException or DirectoryNotFoundException ? "there is no such file" : fault.Message.TrimEnd('.');
            return Outcome<TypeFile>.Refuse(new Refusal("type-not-readable", "", "the type cannot be read", why, "Give the path of a readable JSON file."));
        }
    }
}
