using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;

namespace SweepRig.Logic.Gates.Documents;

/// <summary>What speaks against a sheet of gates, before it has parts.</summary>
public static class SheetChecks
{
    // The wiring names its own nodes and tubes so; a signal that begins like one of them could be taken for it.
    private static readonly string[] Reserved = ["m_", "g_", "s_", "t_", "v_", "n_"];

    /// <returns>Every fault; empty when there is none. Paths are those of <see cref="SheetDocument"/>.</returns>
    public static IReadOnlyList<Refusal> Find(GateSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        List<Refusal> faults = [];
        Rails(sheet.Rails, faults);
        if (sheet.Entries.Count is 0 or > GateSheet.MostEntries)
            faults.Add(new("gates-count", "/gates", $"the sheet has {sheet.Entries.Count} gates", $"1 to {GateSheet.MostEntries} are allowed", "Add gates, or cut the sheet into smaller ones."));
        for (var n = 0; n < sheet.Entries.Count; n++) Entry(sheet.Entries[n], $"/gates/{n}", faults);
        Names(sheet, faults);
        if (faults.Count > 0) return faults;
        Driven(sheet, faults);
        TubesTwice(sheet, faults);
        if (faults.Count == 0) SheetLoops.Find(SheetExpansion.Expand(sheet, _ => CellValues.Usual), faults);
        return faults;
    }

    private static void Rails(GateRails rails, List<Refusal> faults)
    {
        var limit = ExtraLowVoltage.Limit.Value;
        if (rails.Plate - rails.Bias > limit)
        {
            faults.Add(new("rail-too-high", "/rails", $"the rails are {Volts(rails.Plate)} and {Volts(rails.Bias)}, {Volts(rails.Plate - rails.Bias)} apart", $"at most {Volts(limit)} is allowed between any two nodes: extra-low voltage",
                "Lower one of them. Higher voltages are outside of what this program is for."));
        }
        if (!(rails.Plate > 0)) faults.Add(new("rail-sign", "/rails/plateVolts", $"the positive rail is {Volts(rails.Plate)}", "it must be above 0 V", "Write for example 28."));
        if (!(rails.Bias <= 0)) faults.Add(new("rail-sign", "/rails/biasVolts", $"the bias rail is {Volts(rails.Bias)}", "it must be 0 V or below", "Write for example -14."));
    }

    private static void Entry(GateEntry entry, string path, List<Refusal> faults)
    {
        if (CircuitKinds.Find(entry.Kind) is not { } kind)
        {
            string[] words = [.. CircuitKinds.All.Select(k => k.Word)];
            faults.Add(new("unknown-kind", path + "/kind", $"kind is \"{entry.Kind}\"", $"there are {string.Join(", ", words)}", NearestKey.Of(entry.Kind, words) is { } near ? $"Did you mean \"{near}\"?" : "Write one of these."));
            return;
        }
        if (kind.Miscounted(entry) is { } wrong)
        {
            faults.Add(new("signals-count", path, wrong.Asked, wrong.Allowed, "Name a signal for each of them, in this order."));
            return;
        }
        var places = SheetExpansion.Gates(entry, CellValues.Usual).Gates.Sum(g => g.TubeCount);
        if (entry.Tubes.Count > places)
            faults.Add(new("tubes-left-over", path + "/tubes", $"{entry.Tubes.Count} tubes are named", $"{entry.Kind} has {places} {(places == 1 ? "place" : "places")}", $"Name at most {places}."));
    }

    private static void Names(GateSheet sheet, List<Refusal> faults)
    {
        var all = sheet.Inputs.Select((s, n) => (s, $"/inputs/{n}")).Concat(sheet.Entries.SelectMany((e, n) => e.Outputs.Select(s => (s, $"/gates/{n}/outputs")))).ToList();
        foreach (var (signal, path) in all)
        {
            if (signal.Length is > 0 and <= GateSheet.LongestSignal && char.IsAsciiLetterLower(signal[0]) && signal.All(c => char.IsAsciiLetterOrDigit(c) || c == '_')
                && !Reserved.Any(r => signal.StartsWith(r, StringComparison.Ordinal)) && signal is not (GateWiring.PlateRail or GateWiring.BiasRail)) continue;
            faults.Add(new("bad-signal", path, $"a signal is called \"{signal}\"", $"a small letter, then up to {GateSheet.LongestSignal - 1} letters, digits and _ are allowed; {string.Join(", ", Reserved)} at the begin are taken, and so are the rails", "Write for example sum or q1."));
        }
        foreach (var twice in all.GroupBy(s => s.s, StringComparer.OrdinalIgnoreCase).Where(g => g.Count() > 1))
            faults.Add(new("signal-twice", twice.Last().Item2, $"the signal {twice.Key} is made {twice.Count()} times", "each signal comes from one input or one gate; case does not tell names apart", "Rename one of them."));
    }

    private static void Driven(GateSheet sheet, List<Refusal> faults)
    {
        var made = sheet.Entries.Select(e => SheetExpansion.Gates(e, CellValues.Usual).Gates.Select(g => g.Output).ToList()).ToList();
        // Signals between the tubes of an entry are named after its outputs and may meet a name that is on the sheet.
        foreach (var twice in made.SelectMany(m => m).Concat(sheet.Inputs).GroupBy(s => s, StringComparer.OrdinalIgnoreCase).Where(g => g.Count() > 1))
            faults.Add(new("signal-twice", "", $"the signal {twice.Key} stands for two things: one of them lies between the tubes of a gate", "each signal comes from one place", "Rename the one on the sheet."));
        HashSet<string> known = new([.. made.SelectMany(m => m), .. sheet.Inputs], StringComparer.Ordinal);
        string[] names = [.. known];
        var asked = sheet.Entries.SelectMany((e, n) => e.Inputs.Select(s => (s, $"/gates/{n}/inputs")))
            .Concat(sheet.Outputs.Select((s, n) => (s, $"/outputs/{n}"))).Concat(sheet.Loads.Select((l, n) => (l.Signal, $"/loads/{n}/signal")));
        foreach (var (signal, path) in asked.Where(a => !known.Contains(a.Item1)))
        {
            faults.Add(new("signal-undriven", path, $"nothing drives the signal {signal}", "it must be an input of the sheet or an output of a gate",
                NearestKey.Of(signal, names) is { } near ? $"Did you mean {near}? Else add it to the inputs." : "Add it to the inputs, or name it as an output of a gate."));
        }
    }

    private static void TubesTwice(GateSheet sheet, List<Refusal> faults)
    {
        foreach (var twice in SheetExpansion.Places(sheet).Where(p => p.Number is not null).GroupBy(p => p.Number!, StringComparer.OrdinalIgnoreCase).Where(g => g.Count() > 1))
        {
            faults.Add(new("tube-twice", twice.Last().Path, $"tube {twice.Key} stands at {string.Join(" and ", twice.Select(t => t.Position))}", "one tube can be plugged in at one place",
                "Name another tube at one of them; two sections of one tube are told apart as SKUA-014/1 and SKUA-014/2."));
        }
    }

    private static string Volts(double volts) => Engineering.Format(volts, "V", 4);
}
