using System.Text.Json;

namespace SweepRig.Domain.Plans.Reading;

/// <content>Lists of objects and of lines.</content>
public sealed partial class ObjectReader
{
    /// <summary>A list of objects; those that are none are left out, with a fault each.</summary>
    /// <param name="most">Most objects in the list.</param>
    /// <param name="known">Every key that each object may have.</param>
    /// <returns>Empty when the key is missing.</returns>
    public IReadOnlyList<ObjectReader> Objects(string key, int most, params string[] known)
    {
        var objects = new List<ObjectReader>();
        var place = 0;
        foreach (var item in Items(key, most, "objects"))
            if (Open(item, $"{PathOf(key)}/{place++}", _faults, known) is { } read) objects.Add(read);
        return objects;
    }

    /// <summary>A list of lines of plain text, each of 1 to <paramref name="longest"/> characters.</summary>
    /// <returns>Empty when the key is missing.</returns>
    public IReadOnlyList<string> Lines(string key, int most, int longest)
    {
        var lines = new List<string>();
        foreach (var item in Items(key, most, "lines of text"))
        {
            if (item.ValueKind == JsonValueKind.String && WholeText.Of(item) is { } text && !string.IsNullOrWhiteSpace(text) && text.Length <= longest && !text.Any(char.IsControl)) lines.Add(text);
            else Fault("bad-list", key, $"item {lines.Count} of {key} is {Describe(item)}", $"lines of 1 to {longest} characters are needed", "Correct it.");
        }
        return lines;
    }

    /// <summary>True or false; false when the key is missing.</summary>
    public bool Flag(string key)
    {
        if (!_values.TryGetValue(key, out var value)) return false;
        if (value.ValueKind is JsonValueKind.True or JsonValueKind.False) return value.GetBoolean();
        Fault("wrong-type", key, $"{key} is {Describe(value)}", "true or false is needed", "Write true or false without quotation marks.");
        return false;
    }

    private JsonElement[] Items(string key, int most, string what)
    {
        if (!_values.TryGetValue(key, out var value)) return [];
        if (value.ValueKind != JsonValueKind.Array)
        {
            Fault("wrong-type", key, $"{key} is {Describe(value)}", $"a list of {what} is needed", "Write it in [ ].");
            return [];
        }
        if (value.GetArrayLength() <= most) return [.. value.EnumerateArray()];
        Fault("bad-list", key, $"{key} has {value.GetArrayLength()} items", $"at most {most} {what} are allowed", "Take some out.");
        return [];
    }
}
