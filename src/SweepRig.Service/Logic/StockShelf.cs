using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Logic.Networks;
using SweepRig.Service.Fits;
using SweepRig.Service.Live;
using SweepRig.Service.Stock;
using SweepRig.Storage;
using SweepRig.Tubes.Catalogue;

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
    public static async Task<StockShelf> LoadAsync(RunStore? runs, TypeCatalogue types, string document, CancellationToken cancellation)
    {
        var shelf = new StockShelf();
        foreach (var number in Numbers(document)) shelf._tubes[number] = runs is null ? Unmeasured(number) : await FitAsync(runs, types, number, cancellation);
        return shelf;
    }

    public Outcome<ShelfTube> Find(string number) => _tubes.TryGetValue(number, out var found) ? found : Unmeasured(number);

    private static async Task<Outcome<ShelfTube>> FitAsync(RunStore runs, TypeCatalogue types, string number, CancellationToken cancellation)
    {
        var section = TubeNumber.Split(number).Section;
        var recorded = (await runs.OfTubeAsync(number, cancellation)).Where(r => r.Header.Tube.Section == section).ToList();
        var newest = TubeFigures.NewestSweeps(recorded);
        if (newest.Count == 0) return Unmeasured(number);
        var curves = new List<RecordedRun>();
        foreach (var record in newest) curves.Add(await RecordedRun.ReadAsync(runs, record, cancellation));
        var fit = TubeFits.Fit(curves, cancellation);
        if (fit.Tube is null)
        {
            return Outcome<ShelfTube>.Refuse(new Refusal(
                "no-model", "", $"the newest sweeps of {number} give no model: {FitViewMaker.Says(fit)}", "a network is reckoned from the constants of its tubes", fit.Findings is [{ Remedy: { Length: > 0 } remedy }, ..] ? remedy : $"Sweep it again: sweeprig sweep gentle-pentode --tube {number}."));
        }
        var tube = newest[0].Header.Tube;
        var heater = newest[0].Header.Plan.Connection.Heater.Value;
        return Outcome<ShelfTube>.Accept(new(number, tube.TypeName, fit.Tube, heater)
        {
            Range = fit.Range,
            HeaterAmps = types.Find(tube.TypeName)?.Heaters.FirstOrDefault(h => Math.Abs(h.Voltage.Value - heater) < 0.2 * heater)?.Current.Value,
        });
    }

    private static Outcome<ShelfTube> Unmeasured(string number) => Outcome<ShelfTube>.Refuse(new Refusal(
        "never-swept", "", $"no whole sweep of tube {number} is on record", "a network is reckoned from what sweeps have shown", $"Sweep it in the connection it is to have: sweeprig sweep gentle-pentode --tube {number}."));

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
