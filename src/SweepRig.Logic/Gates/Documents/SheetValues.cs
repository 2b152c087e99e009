using System.Text.Json.Nodes;
using SweepRig.Domain.Plans.Reading;

namespace SweepRig.Logic.Gates.Documents;

/// <summary>Values of stages and steering in a document.</summary>
internal static class SheetValues
{
    private sealed record Key(string Name, string Unit, double Low, double High, double Scale, Func<CellValues, double> Get, Func<CellValues, double, CellValues> With);

    private static readonly Key[] Keys =
    [
        Ohms("plateOhms", 100, v => v.PlateOhms, (v, x) => v with { PlateOhms = x }),
        Ohms("screenOhms", 1, v => v.ScreenOhms, (v, x) => v with { ScreenOhms = x }),
        Ohms("stopperOhms", 1, v => v.StopperOhms, (v, x) => v with { StopperOhms = x }),
        Ohms("upperOhms", 100, v => v.UpperOhms, (v, x) => v with { UpperOhms = x }),
        Ohms("lowerOhms", 100, v => v.LowerOhms, (v, x) => v with { LowerOhms = x }),
        Ohms("cathodeOhms", 100, v => v.CathodeOhms, (v, x) => v with { CathodeOhms = x }),
        new("speedUpPicofarads", "pF", 0, 1e6, 1e12, v => v.Stage.SpeedUpFarads, (v, x) => v with { Stage = v.Stage with { SpeedUpFarads = x } }),
        new("steeringPicofarads", "pF", 0.1, 1e6, 1e12, v => v.Steering.Farads, (v, x) => v with { Steering = v.Steering with { Farads = x } }),
        new("steeringOhms", "Ω", 100, 1e8, 1, v => v.Steering.Ohms, (v, x) => v with { Steering = v.Steering with { Ohms = x } }),
    ];

    /// <param name="otherwise">What is left out.</param>
    /// <returns>Null when there are none, or when faults were added.</returns>
    public static CellValues? Read(ObjectReader part, CellValues otherwise)
    {
        if (part.Object("values", false, [.. Keys.Select(k => k.Name), "connection"]) is not { } read) return null;
        var values = otherwise;
        if (read.Has("connection"))
        {
            var isTriode = read.Word("connection", "pentode", "triode") == "triode";
            // What is usual for a pentode is no use to a triode.
            var usual = Enum.GetValues<GateKind>().Where(k => StageValues.UsualOf(k) == values.Stage).Select(k => StageValues.UsualOf(k, true)).FirstOrDefault();
            values = values with { Stage = isTriode && usual is not null ? usual : values.Stage with { IsTriode = isTriode } };
        }
        foreach (var key in Keys)
            if (read.Has(key.Name) && read.Number(key.Name, key.Low, key.High, key.Unit) is { } value) values = key.With(values, value / key.Scale);
        return values;
    }

    public static JsonObject Write(CellValues values)
    {
        var written = new JsonObject { ["connection"] = values.Stage.IsTriode ? "triode" : "pentode" };
        // Written as a decimal fraction again, not as what is left of it after a multiplication in binary.
        foreach (var key in Keys) written[key.Name] = (double)((decimal)key.Get(values) * (decimal)key.Scale);
        return written;
    }

    private static Key Ohms(string name, double low, Func<StageValues, double> get, Func<StageValues, double, StageValues> with) =>
        new(name, "Ω", low, 1e8, 1, v => get(v.Stage), (v, x) => v with { Stage = with(v.Stage, x) });
}
