using System.Globalization;
using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Logic.Gates;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Logic;

/// <summary>Rails and values of a stage out of a request.</summary>
public sealed record StageSettings(GateRails Rails, StageValues Values)
{
    /// <summary>Of every stage.</summary>
    public StageShape Shape { get; init; } = StageShape.Inverter;

    /// <summary>Most stages that a stage may be asked to feed.</summary>
    public const int MostFanOut = 8;

    private const double LeastOhms = 10, MostOhms = 100e6, MostPicofarads = 1e6;

    /// <summary>The tide clock's rails, and resistors that suit a miniature pentode on them.</summary>
    public static GateRailsView UsualRails { get; } = new();

    public static GateValuesView UsualValues { get; } = new();

    /// <summary>The values of a gate where nothing else is said: those of an inverter do not suit a grid at which several inputs meet.</summary>
    /// <param name="gate">Its word; null for an inverter.</param>
    public static GateValuesView UsualOf(string? gate) => View(CircuitExamples.UsualOf(gate));

    /// <param name="gate">Word of the gate whose stages they are; null for inverters.</param>
    /// <returns>Refused with every value that is out of its range and its path in the request, and for a gate that there is not.</returns>
    public static Outcome<StageSettings> Read(GateRailsView? rails, GateValuesView? values, string? gate = null)
    {
        (rails, values) = (rails ?? UsualRails, values ?? UsualOf(gate));
        var faults = new List<Refusal>();
        var first = gate is null ? null : CircuitExamples.FirstOf(gate);
        if (gate is not null && first is null)
        {
            string[] words = [.. CircuitExamples.All.Select(e => e.Word)];
            faults.Add(new("gate-unknown", "/gate", $"gate \"{gate}\"", $"there are {string.Join(", ", words)}", NearestKey.Of(gate, words) is { } nearest ? $"Did you mean {nearest}?" : "Write one of these."));
        }
        var most = ExtraLowVoltage.Limit.Value;
        Within(faults, "/rails/plateVolts", "plate rail", rails.PlateVolts, 1, most, "V", "Extra-low voltage only: give the rail of the gate, for example 28.");
        Within(faults, "/rails/biasVolts", "bias rail", rails.BiasVolts, -most, 0, "V", "Give the negative rail of the dividers, for example -14, or 0 for none.");
        Within(faults, "/rails/heaterVolts", "heater", rails.HeaterVolts, 0.5, most, "V", "Give the heater voltage of the type, for example 6.3.");
        if (faults.Count == 0 && rails.PlateVolts - rails.BiasVolts > most)
            faults.Add(new("rail-too-high", "/rails/biasVolts", $"{V(rails.PlateVolts - rails.BiasVolts)} between the rails of {V(rails.PlateVolts)} and {V(rails.BiasVolts)}", $"at most {V(most)} is allowed anywhere: extra-low voltage", "Lower one of the rails."));
        if (values.Connection is not ("pentode" or "triode"))
            faults.Add(new("connection-unknown", "/values/connection", $"connection \"{values.Connection}\"", "pentode or triode", "Write one of these."));
        foreach (var (path, what, ohms) in new[]
                 {
                     ("plateOhms", "plate resistor", values.PlateOhms), ("screenOhms", "screen resistor", values.ScreenOhms), ("stopperOhms", "grid stopper", values.StopperOhms),
                     ("upperOhms", "upper resistor", values.UpperOhms), ("lowerOhms", "lower resistor", values.LowerOhms), ("cathodeOhms", "cathode resistor", values.CathodeOhms),
                 })
            Within(faults, "/values/" + path, what, ohms, LeastOhms, MostOhms, "Ω", "Give the value as it is marked, in ohms.");
        Within(faults, "/values/speedUpPicofarads", "speed-up capacitor", values.SpeedUpPicofarads, 0, MostPicofarads, "pF", "Give 0 for none.");
        if (faults.Count > 0) return Outcome<StageSettings>.Refuse(faults);
        return Outcome<StageSettings>.Accept(new(
            new(rails.PlateVolts, rails.BiasVolts, rails.HeaterVolts),
            new()
            {
                IsTriode = values.Connection == "triode", PlateOhms = values.PlateOhms, ScreenOhms = values.ScreenOhms, StopperOhms = values.StopperOhms, UpperOhms = values.UpperOhms,
                LowerOhms = values.LowerOhms, SpeedUpFarads = values.SpeedUpPicofarads / 1e12, CathodeOhms = values.CathodeOhms,
            }) { Shape = first is null ? StageShape.Inverter : StageShape.Of(first) });
    }

    /// <summary>The values as a request has them.</summary>
    public static GateValuesView View(StageValues values) => new(
        values.IsTriode ? "triode" : "pentode", values.PlateOhms, values.ScreenOhms, values.StopperOhms, values.UpperOhms, values.LowerOhms, (double)((decimal)values.SpeedUpFarads * 1e12m), values.CathodeOhms);

    internal static void FanOut(List<Refusal> faults, int fanOut, int least) => Within(
        faults, "/fanOut", "fan-out", fanOut, least, MostFanOut, "stages", "Say how many stages each stage feeds; put a follower in between for more.");

    internal static void Within(List<Refusal> faults, string path, string what, double value, double low, double high, string unit, string remedy)
    {
        if (value >= low && value <= high) return;
        faults.Add(new("out-of-range", path, $"{what} {N(value)} {unit}".TrimEnd(), $"{N(low)} to {N(high)} {unit}".TrimEnd() + " is allowed", remedy));
    }

    private static string V(double volts) => Engineering.Format(volts, "V", 4);

    private static string N(double value) => value.ToString("0.######", CultureInfo.InvariantCulture);
}
