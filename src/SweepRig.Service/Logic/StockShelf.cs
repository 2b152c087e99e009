using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Logic.Networks;
using SweepRig.Storage;

namespace SweepRig.Service.Logic;

/// <summary>The tubes of the stock that a network names, each fitted to its newest sweep in either connection.</summary>
public sealed class StockShelf : ITubeShelf
{
    private readonly Dictionary<string, Outcome<ShelfTube>> _tubes = new(StringComparer.OrdinalIgnoreCase);

    private StockShelf()
    {
    }

    /// <param name="runs">Null where nothing was ever recorded.</param>
    /// <param name="document">Text of the network; numbers are looked for in it before it is read.</param>
    public static async Task<StockShelf> LoadAsync(RunStore? runs, FittedTubes fitted, string document, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(fitted);
        var shelf = new StockShelf();
        foreach (var number in Numbers(document)) shelf._tubes[number] = (await fitted.FindAsync(runs, number, cancellation)).Map(f => f.Tube);
        return shelf;
    }

    public Outcome<ShelfTube> Find(string number) => _tubes.TryGetValue(number, out var found) ? found : FittedTubes.Unmeasured(number).Map(f => f.Tube);

    private static HashSet<string> Numbers(string document)
    {
        var numbers = new HashSet<string>(StringComparer.OrdinalIgnoreCase);
        try
        {
            using var json = JsonDocument.Parse(document);
            if (json.RootElement.ValueKind != JsonValueKind.Object || !json.RootElement.TryGetProperty("tubes", out var tubes) || tubes.ValueKind != JsonValueKind.Array) return numbers;
            foreach (var tube in tubes.EnumerateArray())
                if (tube.ValueKind == JsonValueKind.Object && tube.TryGetProperty("number", out var number) && number.ValueKind == JsonValueKind.String) numbers.Add(number.GetString()!.Trim().ToUpperInvariant());
        }
        catch (JsonException)
        {
            // The reader of the network tells where.
        }
        return numbers;
    }
}
