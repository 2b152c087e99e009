using System.Collections.Immutable;
using SweepRig.Analysis;
using SweepRig.Analysis.Studies;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Studies;

namespace SweepRig.Sweeps.Studies;

/// <summary>
/// A life test with heater cycles. The rig measures nothing at the heater: that it is whole is known by the current of a warm tube, at each measurement.
/// </summary>
public sealed record Life : Study
{
    /// <summary>Measurements before the first cycle.</summary>
    public const int AtFirst = 5;

    private const double FalseAlarms = 0.01;

    private static readonly TimeSpan Settle = TimeSpan.FromSeconds(60), Close = TimeSpan.FromSeconds(5);

    private enum Stage
    {
        Heat,
        Settle,
        Measure,
        Between,
        Cool,
        Off,
        On,
        Hot,
    }

    private Life(RigIdentity rig, LifeSetup setup) : base(rig, setup)
    {
    }

    public static Life Begin(RigIdentity rig, LifeSetup setup)
    {
        ArgumentNullException.ThrowIfNull(rig);
        ArgumentNullException.ThrowIfNull(setup);
        return new(rig, setup);
    }

    public new LifeSetup Setup => (LifeSetup)base.Setup;

    private Stage Where { get; init; }

    private TimeSpan Since { get; init; }

    /// <summary>Switchings on since the first measurements.</summary>
    public int Cycles { get; private init; }

    public ImmutableList<(StudyRun Run, int Cycles)> Runs { get; private init; } = [];

    private Curve[] First => [.. Runs.Take(AtFirst).Select(r => r.Run.Curves[0])];

    public override StudyFindings Findings
    {
        get
        {
            var (shifts, shares) = Columns();
            double[] cycles = [.. Runs.Select(r => (double)r.Cycles)];
            StudySeries Column(string word, string meaning, string unit, Figure[] of) =>
                new(word, "cycles", "1", meaning, unit, cycles, [.. of.Select(f => f.Value ?? double.NaN)], [.. of.Select(f => f.Uncertainty ?? double.NaN)]);
            var none = Figure.None("%", "it was not measured yet");
            List<StudyFigure> figures =
            [
                new("life.cycles", "cycles done", Figure.Of(Cycles, "1", null)),
                new("life.current", "current at 0 V drive, of that at first", shares.Length == 0 ? none : shares[^1]),
                new("life.shift", "shift of the grid since the first sweeps", shifts.Length == 0 ? Figure.None("V", "it was not measured yet") : shifts[^1]),
                new("life.emission", "emission left, by the shift of the grid", shifts.Length == 0 ? none : EmissionBy(shifts[^1])),
            ];
            if (Runs.Count > 0) figures.Add(new("life.current-amperes", "current at 0 V drive, last", CurrentAtZero.Of(Runs[^1].Run.Curves[0], MeasurementUncertainty.Of(Runs[^1].Run.Header))));
            return new(StudyKind.Life, End, Because, figures, [Column("current", "current at 0 V drive, of that at first", "%", shares), Column("shift", "shift of the grid", "V", shifts)],
            [
                FormattableString.Invariant($"{Setup.On.TotalSeconds / Setup.HeaterSpeed:0.#} s on, {Setup.Off.TotalSeconds / Setup.HeaterSpeed:0.#} s off, measured every {Setup.MeasureEvery} cycles; ended by a loss of {Setup.MostLossPercent:0.#} % (67 % of its plate current is the end of life of an RF pentode, EF860 data sheet, RFT)."),
                "Heater-cycling life tests of the trade run 1 min on and 4 min off for 2,000 cycles, with the heater above its rating (MIL-E-1, MIL-STD-1311, from memory). Here it stays at its rating: a tube that passes this has not passed that.",
                "Emission by the shift: Richardson's law at 1050 K and a constant emission constant; other causes of a shift look the same.",
                "Nothing is measured at the heater. A tube without current may have an open heater, a pin without contact or a dead cathode.",
            ]);
        }
    }

    protected override StudyAct Due() => Where switch
    {
        Stage.Heat => new StudyAct.Heat("heater on", Setup.Fixture.Heater),
        Stage.Settle => new StudyAct.WaitUntil("warming and settling", Since + Settle / Setup.HeaterSpeed),
        Stage.Between => new StudyAct.WaitUntil("between sweeps", Since + Close),
        Stage.Measure => new StudyAct.Sweep(
            Runs.Count < AtFirst ? $"sweep {Runs.Count + 1} of {AtFirst} before the first cycle" : $"sweep after {Cycles} of {Setup.Cycles} cycles",
            Runs.Count < AtFirst ? StudyRole.Baseline : StudyRole.Measure, StudyPlans.Reference(Rig, Setup.Fixture), default),
        Stage.Cool => new StudyAct.Cool($"cycle {Cycles + 1}: heater off"),
        Stage.Off => new StudyAct.WaitUntil($"cycle {Cycles + 1}: off", Since + Setup.Off / Setup.HeaterSpeed),
        Stage.On => new StudyAct.Heat($"cycle {Cycles + 1}: heater on", Setup.Fixture.Heater),
        _ => new StudyAct.WaitUntil($"cycle {Cycles}: on", Since + Setup.On / Setup.HeaterSpeed),
    };

    protected override StudyForecast Forecast()
    {
        var left = Setup.Cycles - Cycles;
        var sweeps = AtFirst - Math.Min(AtFirst, Runs.Count) + left / Setup.MeasureEvery + 1;
        var sweeping = sweeps * (StudyPlans.Time(Rig, StudyPlans.Reference(Rig, Setup.Fixture)) + Settle / Setup.HeaterSpeed);
        var on = left * Setup.On / Setup.HeaterSpeed + sweeping;
        return new(4 * left + 2 * sweeps, on + left * Setup.Off / Setup.HeaterSpeed, on, default);
    }

    protected override Study Passed(StudyAct act) => Where switch
    {
        Stage.Heat => To(Stage.Settle),
        Stage.Settle or Stage.Between => To(Stage.Measure),
        Stage.Cool => To(Stage.Off),
        Stage.Off => To(Stage.On),
        Stage.On => (this with { Cycles = Cycles + 1 }).To(Stage.Hot),
        // Measured hot and settled, as at first.
        _ => Cycles % Setup.MeasureEvery == 0 || Cycles == Setup.Cycles ? To(Stage.Settle) : To(Stage.Cool),
    };

    protected override Study Take(StudyAct act, StudyResult.Ran ran)
    {
        var next = this with { Runs = Runs.Add((ran.Run, Cycles)) };
        if (Screening.ScreeningLooks.CurrentAtEnd(ran.Run.Curves[0]) < Screening.ScreeningLooks.LeastAmps)
            return next.Ending(StudyEnd.Dead, $"after {Cycles} cycles hardly any current flows at 0 V drive: the heater is open, a pin has no contact, or the cathode is dead");
        if (next.Runs.Count < AtFirst) return next.To(Stage.Between);
        var share = next.Columns().Shares[^1];
        if (share.Value is { } left && 100 - left - (share.ExpandedUncertainty ?? 0) > Setup.MostLossPercent)
            return next.Ending(StudyEnd.WornOut, FormattableString.Invariant($"after {Cycles} cycles {left:0.#} % of the current at 0 V drive is left, give or take {share.ExpandedUncertainty:0.##} %; the test ends at a loss of {Setup.MostLossPercent:0.#} %"));
        return Cycles == Setup.Cycles ? next.Ending(StudyEnd.Completed, $"all {Setup.Cycles} cycles were done") : next.To(Stage.Cool);
    }

    private Life To(Stage stage) => this with { Where = stage, Since = Elapsed };

    private (Figure[] Shifts, Figure[] Shares) Columns()
    {
        var first = First;
        var baseline = first.Length == AtFirst ? RepeatBaseline.Of(first, FalseAlarms) : null;
        var sigma = CurrentAtZero.Scatter(first);
        return (
            [.. Runs.Select(r => baseline?.Check(r.Run.Curves[0])?.Shift ?? Figure.None("V", "too few sweeps at first, or too few samples"))],
            [.. Runs.Select(r => CurrentAtZero.Share(r.Run.Curves[0], first, sigma))]);
    }

    private static Figure EmissionBy(Figure shift)
    {
        if (shift.Value is not { } volts) return Figure.None("%", shift.AbsentBecause!);
        var left = 100 * Math.Exp(volts / ExplorationFindings.ThermalVolts);
        return Figure.Of(left, "%", left * shift.Uncertainty / ExplorationFindings.ThermalVolts, "by a model: a shift of the grid need not be the cathode's");
    }
}
