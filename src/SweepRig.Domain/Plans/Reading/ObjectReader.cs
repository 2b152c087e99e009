using System.Globalization;
using System.Text.Json;

namespace SweepRig.Domain.Plans.Reading;

/// <summary>
/// Reads one JSON object key by key and collects every fault with its JSON Pointer (RFC 6901) instead of stopping at the first. A value
/// that was refused comes back as null.
/// </summary>
public sealed partial class ObjectReader
{
    private readonly Dictionary<string, JsonElement> _values = new(StringComparer.Ordinal);
    private readonly List<Refusal> _faults;
    private readonly string _path;

    private ObjectReader(JsonElement element, string path, List<Refusal> faults, IReadOnlyList<string> known)
    {
        _path = path;
        _faults = faults;
        foreach (var property in element.EnumerateObject())
        {
            if (WholeText.Key(property) is not { } key) _faults.Add(WholeText.Refused with { Path = path, Asked = "a key has half of a character: a surrogate without its pair" });
            else if (!known.Contains(key, StringComparer.Ordinal)) Unknown(key, known);
            else if (!_values.TryAdd(key, property.Value)) Fault("duplicate-key", key, $"the key \"{key}\" stands twice", "each key may stand once", "Delete one of them.");
        }
    }

    /// <param name="known">Every key that the object may have.</param>
    /// <returns>Null, and a fault, when the element is no object.</returns>
    public static ObjectReader? Open(JsonElement element, string path, List<Refusal> faults, params string[] known)
    {
        if (element.ValueKind == JsonValueKind.Object) return new(element, path, faults, known);
        faults.Add(new("wrong-type", path, $"{Describe(element)} stands here", "an object is needed", $"Write {{ {string.Join(", ", known.Select(k => $"\"{k}\": …"))} }}."));
        return null;
    }

    public bool Has(string key) => _values.ContainsKey(key);

    /// <summary>The object under a key; a fault when it is missing and needed.</summary>
    public ObjectReader? Object(string key, bool needed, params string[] known)
    {
        if (_values.TryGetValue(key, out var value)) return Open(value, PathOf(key), _faults, known);
        if (needed) Missing(key, $"an object with {string.Join(", ", known)}");
        return null;
    }

    /// <summary>A finite number within the range, both ends allowed.</summary>
    public double? Number(string key, double min, double max, string unit)
    {
        if (Finite(key, $"a number of {unit} from {Text(min)} to {Text(max)}") is not { } number) return null;
        if (number >= min && number <= max) return number;
        OutOfRange(key, $"{key} is {Text(number)} {unit}", $"{Text(min)} to {Text(max)} {unit} is allowed", Text(Math.Clamp(number, min, max)));
        return null;
    }

    /// <summary>A whole number within the range, both ends allowed. 191.0 is whole, as in JSON Schema.</summary>
    public int? Whole(string key, int min, int max, string unit, int? otherwise = null)
    {
        if (otherwise is not null && !Has(key)) return otherwise;
        if (Finite(key, $"a whole number of {unit} from {min} to {max}") is not { } number) return null;
        if (number != Math.Floor(number))
        {
            Fault("not-whole", key, $"{key} is {Text(number)}", $"a whole number of {unit} is needed", $"Write {Text(Math.Clamp(Math.Round(number), min, max))}.");
            return null;
        }
        if (number >= min && number <= max) return (int)number;
        OutOfRange(key, $"{key} is {Text(number)}", $"{min} to {max} {unit} is allowed", Text(Math.Clamp(number, min, max)));
        return null;
    }

    /// <summary>A whole number that must be one of a few.</summary>
    public int? WholeOf(string key, string unit, params int[] allowed)
    {
        var list = string.Join(" or ", allowed);
        if (Finite(key, $"{list} {unit}") is not { } number) return null;
        foreach (var one in allowed)
            if (number == one) return one;
        Fault("out-of-range", key, $"{key} is {Text(number)} {unit}", $"{list} {unit} is allowed", $"Write {list}.");
        return null;
    }

    /// <summary>A list of whole numbers within the range, both ends allowed, none of them twice.</summary>
    /// <param name="fewest">Least numbers in the list.</param>
    /// <param name="most">Most numbers in the list.</param>
    public IReadOnlyList<int>? Wholes(string key, int fewest, int most, int min, int max)
    {
        var wanted = $"a list of {fewest} to {most} different whole numbers from {min} to {max}";
        if (!_values.TryGetValue(key, out var value))
        {
            Missing(key, wanted);
            return null;
        }
        if (value.ValueKind != JsonValueKind.Array)
        {
            Fault("wrong-type", key, $"{key} is {Describe(value)}", $"{wanted} is needed", $"Write [{min}].");
            return null;
        }
        var numbers = new List<int>();
        foreach (var item in value.EnumerateArray())
        {
            if (item.ValueKind == JsonValueKind.Number && item.TryGetInt32(out var number) && number >= min && number <= max && !numbers.Contains(number))
            {
                numbers.Add(number);
                continue;
            }
            Fault("bad-list", key, $"item {numbers.Count} of {key} is {Describe(item)}", $"{wanted} is needed", "Correct it; no number may stand twice.");
            return null;
        }
        if (numbers.Count >= fewest && numbers.Count <= most) return numbers;
        Fault("bad-list", key, $"{key} has {numbers.Count} items", $"{wanted} is needed", "Name each of them once.");
        return null;
    }

    /// <summary>An I2C address as data sheets write it, for example <c>"0x48"</c>.</summary>
    public int? Address(string key, int min, int max)
    {
        var wanted = $"an address from \"0x{min:x2}\" to \"0x{max:x2}\"";
        if (String(key, wanted) is not { } text) return null;
        if (text.StartsWith("0x", StringComparison.OrdinalIgnoreCase)
            && int.TryParse(text.AsSpan(2), NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out var number) && number >= min && number <= max) return number;
        Fault("out-of-range", key, $"{key} is \"{Shorten(text)}\"", $"{wanted} is needed", "Write the address that the chip's address pins set.");
        return null;
    }

    /// <summary>Text of 1 to <paramref name="longest"/> characters without control characters.</summary>
    public string? Line(string key, int longest)
    {
        if (String(key, $"text of 1 to {longest} characters") is not { } text) return null;
        if (string.IsNullOrWhiteSpace(text) || text.Length > longest)
        {
            var blank = string.IsNullOrWhiteSpace(text);
            Fault(
                "out-of-range", key, blank ? $"{key} is empty" : $"{key} has {text.Length} characters", $"1 to {longest} characters are allowed, not all of them spaces",
                blank ? "Write something there." : "Make it shorter.");
            return null;
        }
        if (!text.Any(char.IsControl)) return text;
        Fault("bad-text", key, $"{key} has a control character", "one line of plain text is needed", "Take out line breaks and tabs.");
        return null;
    }

    /// <summary>A time of day as <c>HH:mm</c>.</summary>
    /// <param name="example">Of one, for the remedy.</param>
    public TimeOnly? TimeOfDay(string key, string example)
    {
        const string wanted = "a time of day from \"00:00\" to \"23:59\"";
        if (String(key, wanted) is not { } text) return null;
        if (TimeOnly.TryParseExact(text, "HH:mm", CultureInfo.InvariantCulture, DateTimeStyles.None, out var time)) return time;
        var shown = text.Length <= 20 ? text : text[..20] + "...";
        Fault("bad-time", key, $"{key} is \"{shown.ReplaceLineEndings(" ")}\"", $"{wanted} is needed", $"Write hours and minutes with two digits each, as \"{example}\"; 24:00 is 00:00.");
        return null;
    }

    /// <summary>One of a few words, upper and lower case told apart.</summary>
    /// <summary>As <see cref="Word(string, string[])"/>, with words that are understood but cannot be had, each with the reason and the remedy.</summary>
    public string? Word(string key, IReadOnlyDictionary<string, (string Because, string Remedy)> impossible, params string[] allowed)
    {
        if (!_values.TryGetValue(key, out var value) || value.ValueKind != JsonValueKind.String || !impossible.TryGetValue(value.GetString()!, out var why)) return Word(key, allowed);
        Fault("not-on-this-rig", key, $"{key} is \"{value.GetString()}\"", $"{why.Because}; allowed is {string.Join(", ", allowed.Select(w => $"\"{w}\""))}", why.Remedy);
        return null;
    }

    public string? Word(string key, params string[] allowed)
    {
        var list = string.Join(", ", allowed.Select(w => $"\"{w}\""));
        if (String(key, $"one of {list}") is not { } text) return null;
        if (allowed.Contains(text, StringComparer.Ordinal)) return text;
        var nearest = NearestKey.Of(text, allowed);
        Fault("unknown-word", key, $"{key} is \"{Shorten(text)}\"", $"allowed is {list}", nearest is null ? "Write one of these." : $"Did you mean \"{nearest}\"?");
        return null;
    }

    public void Fault(string code, string key, string asked, string allowed, string remedy) =>
        _faults.Add(new(code, key.Length == 0 ? _path : PathOf(key), asked, allowed, remedy));

    public static string Text(double number) => number.ToString("R", CultureInfo.InvariantCulture);

    private double? Finite(string key, string wanted)
    {
        if (!_values.TryGetValue(key, out var value))
        {
            Missing(key, wanted);
            return null;
        }
        if (value.ValueKind != JsonValueKind.Number)
        {
            Fault("wrong-type", key, $"{key} is {Describe(value)}", $"{wanted} is needed", "Write a plain number without quotation marks.");
            return null;
        }
        // System.Text.Json reads 1e999 as infinity rather than refusing it.
        if (value.TryGetDouble(out var number) && double.IsFinite(number)) return number;
        Fault("not-finite", key, $"{key} is {Shorten(value.GetRawText())}", $"{wanted} is needed", "Write a finite number.");
        return null;
    }

    private string? String(string key, string wanted)
    {
        if (!_values.TryGetValue(key, out var value))
        {
            Missing(key, wanted);
            return null;
        }
        if (value.ValueKind == JsonValueKind.String)
        {
            var text = WholeText.Of(value);
            if (text is null) _faults.Add(WholeText.Refused with { Path = PathOf(key) });
            return text;
        }
        Fault("wrong-type", key, $"{key} is {Describe(value)}", $"{wanted} is needed", "Write it in quotation marks.");
        return null;
    }

    private void Unknown(string key, IReadOnlyList<string> known)
    {
        var nearest = NearestKey.Of(key, known);
        var allowed = known.Count == 0 ? "no keys are allowed here" : $"keys allowed here are {string.Join(", ", known)}";
        Fault("unknown-key", key, $"the key \"{Shorten(key)}\" is unknown", allowed, nearest is null ? "Delete it." : $"Did you mean \"{nearest}\"?");
    }

    private void Missing(string key, string wanted) =>
        Fault("missing-key", key, $"the key \"{key}\" is missing", $"{wanted} is needed", $"Add \"{key}\".");

    private void OutOfRange(string key, string asked, string allowed, string nearest) =>
        Fault("out-of-range", key, asked, allowed, $"The nearest allowed value is {nearest}.");

    /// <summary>RFC 6901, section 3: ~ and / inside a key are written ~0 and ~1.</summary>
    private string PathOf(string key) => $"{_path}/{Shorten(key).Replace("~", "~0", StringComparison.Ordinal).Replace("/", "~1", StringComparison.Ordinal)}";

    private static string Describe(JsonElement element) => element.ValueKind switch
    {
        JsonValueKind.Object => "an object",
        JsonValueKind.Array => "a list",
        JsonValueKind.String => $"the text \"{Shorten(WholeText.Of(element) ?? element.GetRawText())}\"",
        JsonValueKind.Number => $"the number {Shorten(element.GetRawText())}",
        JsonValueKind.True or JsonValueKind.False => "true or false",
        _ => "null",
    };

    private static string Shorten(string text) => text.Length <= 60 ? text : string.Concat(text.AsSpan(0, 59), "…");
}
