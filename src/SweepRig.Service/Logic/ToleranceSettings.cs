using SweepRig.Domain;
using SweepRig.Logic.Yield;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Logic;

/// <summary>How far parts may be off, out of a request.</summary>
internal static class ToleranceSettings
{
    /// <summary>Adds every fault of them.</summary>
    public static void Check(TolerancesView t, List<Refusal> faults)
    {
        StageSettings.Within(faults, "/tolerances/resistorPercent", "resistor tolerance", t.ResistorPercent, 0, 50, "%", "Give that of the resistors, for example 5.");
        StageSettings.Within(faults, "/tolerances/railPercent", "rail tolerance", t.RailPercent, 0, 50, "%", "Give how far each rail may be off.");
        StageSettings.Within(faults, "/tolerances/currentPercent", "drift of the current", t.CurrentPercent, 0, 50, "%", "Give one standard deviation.");
        StageSettings.Within(faults, "/tolerances/offsetVolts", "drift of the grid offset", t.OffsetVolts, 0, 2, "V", "Give one standard deviation.");
        StageSettings.Within(faults, "/tolerances/emissionPercent", "drift of the emission", t.EmissionPercent, 0, 50, "%", "Give one standard deviation.");
    }

    /// <param name="asked">Without faults; null for the usual.</param>
    public static Tolerances Of(TolerancesView? asked)
    {
        var t = asked ?? new();
        return new(t.ResistorPercent / 100, t.RailPercent / 100, t.CurrentPercent / 100, t.OffsetVolts, t.EmissionPercent / 100);
    }
}
