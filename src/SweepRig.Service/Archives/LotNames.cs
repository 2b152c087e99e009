using SweepRig.Domain;
using SweepRig.Storage.Archives;

namespace SweepRig.Service.Archives;

/// <summary>Other names for lots, as they are typed: <c>NAME=OTHER</c>.</summary>
public static class LotNames
{
    public static Outcome<ArchiveChoices> Read(IReadOnlyList<string> typed, bool keepHere)
    {
        ArgumentNullException.ThrowIfNull(typed);
        var names = new Dictionary<string, string>(StringComparer.Ordinal);
        List<Refusal> faults = [];
        foreach (var text in typed)
        {
            var parts = text.Split('=', 2, StringSplitOptions.TrimEntries);
            if (parts.Length < 2 || parts.Any(p => p.Length == 0)) faults.Add(new("bad-lot-name", "/lot", $"\"{text}\"", "NAME=OTHER is needed", "Write the name of a lot in the archive, an equals sign, and its name here."));
            else if (!names.TryAdd(parts[0], parts[1])) faults.Add(new("bad-lot-name", "/lot", $"\"{text}\"", $"{parts[0]} has a name already", "Give each lot once."));
        }
        return faults.Count > 0 ? Outcome<ArchiveChoices>.Refuse(faults) : Outcome<ArchiveChoices>.Accept(new(keepHere, names));
    }
}
