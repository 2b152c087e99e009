using System.Globalization;
using System.Text;

namespace SweepRig.Rigs.Tests.Wiring;

/// <summary>One line of the worst-case calculation: a figure at the ends of the tolerances, against what is needed.</summary>
internal sealed record WorstCaseLine(string Figure, string Unit, double Nominal, double Least, double Most, double NeededLeast, double NeededMost, string Why)
{
    public bool Holds => Least >= NeededLeast && Most <= NeededMost;

    public string Needed => (double.IsInfinity(NeededLeast), double.IsInfinity(NeededMost)) switch
    {
        (true, false) => $"at most {Number(NeededMost)}",
        (false, true) => $"at least {Number(NeededLeast)}",
        _ => $"{Number(NeededLeast)} to {Number(NeededMost)}",
    };

    public static string Number(double value) => value.ToString("0.###", CultureInfo.InvariantCulture);
}

/// <summary>The worst-case calculation of the wiring. Formulas are those of <c>firmware-notes/wiring.md</c>.</summary>
internal static class WorstCase
{
    private const double Any = double.PositiveInfinity;
    private const double HighestGridCurrent = 8e-3;
    private const double PositiveRail = 36, NegativeRail = -18, RailTolerance = 0.02, Swing = 3;
    private const double DiodeDrop = 1.0;
    private const int Codes = 4096;

    public static IReadOnlyList<WorstCaseLine> Of(PartsList parts)
    {
        var (reference, r1, r2, r3, r4) = (parts["U5"], parts["R1"], parts["R2"], parts["R3"], parts["R4"]);
        var lines = new List<WorstCaseLine>();
        void Add(string figure, string unit, (double Nominal, double Least, double Most) value, double least, double most, string why) =>
            lines.Add(new(figure, unit, value.Nominal, value.Least, value.Most, least, most, why));
        Part[] amplifier = [reference, r1, r2, r3];
        static double Drive(double[] v, double dac) => dac * (1 + v[3] / v[1] + v[3] / v[2]) - v[0] * v[3] / v[1];

        Add("drive at code 0, the safe code", "V", Corners.Of(v => Drive(v, 0), amplifier), NegativeRail * (1 - RailTolerance) + Swing - 2, -14,
            "below the floor of -14 V, and within the amplifier's swing");
        Add("drive at code 4095", "V", Corners.Of(v => Drive(v, v[0] * (Codes - 1) / Codes), amplifier), 26, Any, "reaches the hard ceiling of 26 V");
        Add("amplifier output for 26 V at 8 mA", "V", Corners.Of(v => 26 + HighestGridCurrent * v[0], r4), -Any, PositiveRail * (1 - RailTolerance) - Swing,
            "R4 costs headroom; the +36 V rail may be 2 % low");
        Add("clamp, JP1 in position 27", "V", Corners.Of(v => v[0] + DiodeDrop, parts["D1"]), 26, 30, "above the ceiling of 26 V, or it would spoil it; no input sees more than 30 V");
        Add("clamp, JP1 in position 12", "V", Corners.Of(v => v[0] + DiodeDrop, parts["D2"]), 11, 14, "leaves drive up to 11 V free");
        Add("heat in R4, JP1 in position 0, amplifier at its rail", "W", Corners.Of(v => Math.Pow(PositiveRail * (1 + RailTolerance), 2) / v[0], r4), 0, 3, "for as long as it takes someone to notice");
        Add("heat in D1 at the same fault", "W", Corners.Of(v => (v[0] + DiodeDrop) * (PositiveRail * (1 + RailTolerance) - v[0] - DiodeDrop) / v[1], parts["D1"], r4), 0, 2.5, "half its rating");
        Add("grid current with the grid shorted to the cathode, clamp at 27", "mA", Corners.Of(v => 1e3 * (v[0] + DiodeDrop) / v[1], parts["D1"], parts["R5"]), 0, 8, "the stopper alone keeps it below the hard limit");
        Add("heat in R5 at the same fault", "W", Corners.Of(v => Math.Pow(v[0] + DiodeDrop, 2) / v[1], parts["D1"], parts["R5"]), 0, 0.25, "its rating");

        Part[] upper = [reference, parts["R7"], parts["R8"], parts["R9"]];
        Add("highest plate, screen or supply voltage read", "V", Corners.Of(v => v[0] * (Codes - 1) / Codes * (v[1] + v[2] + v[3]) / v[3], upper), 40, Any, "covers the highest rail");
        Add("current of such a divider at 28 V", "uA", Corners.Of(v => 28e6 / (v[0] + v[1] + v[2]), upper[1..]), 0, 3, "flows through the plate resistor beside the plate current; at cut-off it is the same at every drive, and the cut-off level counts from there");
        Bipolar("grid", parts["R12"], -18, 18);
        Bipolar("drive", parts["R13"], -18, 30);
        Add("leakage of D4 seen at a divider's input", "mV", Corners.Of(v => parts["D4"].Si * 1e-9 * v[0] * 1e3, Sum("R7+R8", parts["R7"], parts["R8"])), 0, 50, "at the data sheet's limit for 75 V; some thousandths of it are usual (from memory, check the data sheet)");

        Add("enable relay lets go after the last edge", "ms", Corners.Of(v => 1e3 * v[0] * v[1] * Math.Log(4.8 / 0.8), parts["R15"], parts["C3"]), 0, 100, "with the watchdog's 120 ms not needed: a second path");
        Add("longest time between two edges that still holds it", "ms", Corners.Of(v => 1e3 * v[0] * v[1] * Math.Log(4.0 / 1.5), parts["R15"], parts["C3"]), 2, Any, "the main loop toggles at least every 2 ms");
        Add("plate rail down to a tenth after switching off, 10 uF on it", "ms", Corners.Of(v => 1e3 * v[0] * 10e-6 * Math.Log(10), parts["R18"]), 0, 300, "empty before a hand reaches the socket");
        Add("heat in R18 at 40 V", "W", Corners.Of(v => 1600 / v[0], parts["R18"]), 0, 0.5, "its rating");
        Add("heat in R20, tube shorted, 40 V", "W", Corners.Of(v => 1600 / v[0], parts["R20"]), 0, 0.5, "its rating");
        Add("heat in R21 at the supply's current limit of 100 mA", "W", Corners.Of(v => 0.01 * v[0], parts["R21"]), 0, 2, "its rating; without a current limit a shorted screen would put 16 W there");
        Add("plate rail fuse, times the hard limit of 30 mA", "times", (parts["F1"].Si / 30e-3, parts["F1"].Si / 30e-3, parts["F1"].Si / 30e-3), 2, 5, "does not blow in use, blows before wires get warm");
        Add("heater current of four sockets, times the fuse", "times", (1.2 / parts["F2"].Si, 1.2 / parts["F2"].Si, 1.2 / parts["F2"].Si), 0, 0.5, "slow, because cold heaters draw several times as much for a second (common practice, no source)");
        return lines;

        void Bipolar(string channel, Part lower, double least, double most)
        {
            Part[] all = [reference, parts["R10"], parts["R11"], lower];
            static double Input(double[] v, double adc) => (adc * (1 / v[1] + 1 / v[2] + 1 / v[3]) - v[0] / v[2]) * v[1];
            Add($"lowest {channel} voltage read", "V", Corners.Of(v => Input(v, 0), all), -Any, least, "covers the safe drive");
            Add($"highest {channel} voltage read", "V", Corners.Of(v => Input(v, v[0] * (Codes - 1) / Codes), all), most, Any, channel == "drive" ? "covers the clamp" : "with a stopper of 4.7 kilohm the grid of a sound tube stays within some volts");
        }
    }

    public static string Table(PartsList parts)
    {
        var text = new StringBuilder("| figure | nominal | least | most | unit | needed | why |\n| --- | --- | --- | --- | --- | --- | --- |\n");
        foreach (var line in Of(parts))
            text.Append(CultureInfo.InvariantCulture, $"| {line.Figure} | {WorstCaseLine.Number(line.Nominal)} | {WorstCaseLine.Number(line.Least)} | {WorstCaseLine.Number(line.Most)} | {line.Unit} | {line.Needed} | {line.Why} |\n");
        return text.ToString();
    }

    private static Part Sum(string name, Part a, Part b) =>
        new(name, "two in series", (a.Si + b.Si).ToString("R", CultureInfo.InvariantCulture), "ohm", Math.Max(a.TolerancePercent, b.TolerancePercent), "", "", "");
}
