using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Domain.Tubes;
using SweepRig.Logic.Networks;
using SweepRig.Service.Live;
using SweepRig.Service.Stock;
using SweepRig.Storage;

namespace SweepRig.Service.Logic;

/// <summary>The tubes of the stock that a network names, each fitted to its newest sweep in either connection.</summary>
public sealed class StockShelf : ITubeShelf
{
    private readonly Dictionary<string, Outcome<ShelfTube>> _tubes = new(StringComparer.OrdinalIgnoreCase);
    private readonly Dictionary<(string Number, ConnectionKind Connection), Outcome<MeasuredCurve>> _curves = [];

    private StockShelf()
    {
    }

    /// <param name="runs">Null where nothing was ever recorded.</param>
    /// <param name="document">Text of the network; numbers are looked for in it before it is read.</param>
    public static async Task<StockShelf> LoadAsync(RunStore? runs, FittedTubes fitted, string document, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(fitted);
        var shelf = new StockShelf();
        foreach (var (number, measured) in Numbers(document))
        {
            shelf._tubes[number] = (await fitted.FindAsync(runs, number, cancellation)).Map(f => f.Tube);
            if (!measured || runs is null) continue;
            foreach (var record in await FittedTubes.NewestAsync(runs, number, cancellation))
                shelf._curves[(number, record.Header.Plan.Connection.Kind)] = Curve(await RecordedRun.ReadAsync(runs, record, cancellation));
        }
        return shelf;
    }

    public Outcome<ShelfTube> Find(string number) => _tubes.TryGetValue(number, out var found) ? found : FittedTubes.Unmeasured(number).Map(f => f.Tube);

    public Outcome<MeasuredCurve> Curve(string number, ConnectionKind connection)
    {
        var word = BenchViews.Word(connection);
        return _curves.TryGetValue((number, connection), out var found) ? found : Outcome<MeasuredCurve>.Refuse(new Refusal(
            "no-curve", "", $"no whole sweep of tube {number} in {word} connection is on record", "a tube is taken as measured only where it was", $"Sweep it so: sweeprig sweep PLAN --tube {number}, with \"connection\": \"{word}\" in the plan."));
    }

    private static Outcome<MeasuredCurve> Curve(RecordedRun run) =>
        MeasuredCurve.Of(run.Record.Header.Id, run.InForce.Measured(run.Record.Header.Plan.Connection), TubeFigures.FirstUp(run.Drawn, c => c.Pass)!);

    /// <returns>Every number, and whether it is to be taken as measured somewhere.</returns>
    private static Dictionary<string, bool> Numbers(string document)
    {
        var numbers = new Dictionary<string, bool>(StringComparer.OrdinalIgnoreCase);
        try
        {
            using var json = JsonDocument.Parse(document);
            if (json.RootElement.ValueKind != JsonValueKind.Object || !json.RootElement.TryGetProperty("tubes", out var tubes) || tubes.ValueKind != JsonValueKind.Array) return numbers;
            foreach (var tube in tubes.EnumerateArray())
            {
                if (tube.ValueKind != JsonValueKind.Object || !tube.TryGetProperty("number", out var named) || named.ValueKind != JsonValueKind.String) continue;
                var number = named.GetString()!.Trim().ToUpperInvariant();
                numbers[number] = numbers.GetValueOrDefault(number) || tube.TryGetProperty("measured", out var measured) && measured.ValueKind == JsonValueKind.True;
            }
        }
        catch (JsonException)
        {
            // The reader of the network tells where.
        }
        return numbers;
    }
}
