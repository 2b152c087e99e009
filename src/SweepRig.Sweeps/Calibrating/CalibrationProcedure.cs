using System.Collections.Immutable;
using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;
using SweepRig.Sweeps.Running;

namespace SweepRig.Sweeps.Calibrating;

/// <param name="MeterVolts">As read.</param>
/// <param name="Held">What the rig read of itself meanwhile.</param>
public sealed record TakenReading(double MeterVolts, HeldReading Held);

/// <summary>What the operator states before anything is driven.</summary>
/// <param name="TubeOut">The tube is out of the socket; without it nothing begins.</param>
/// <param name="PositiveUpToVolts">Highest drive to compare; 0 for none above 0 V.</param>
/// <param name="Fixture">The fixture's resistors by what stands on them.</param>
/// <param name="Socket">Empty socket where the meter is put, from 0.</param>
public sealed record CalibrationPreparation(bool TubeOut, ReferenceMeter Meter, string Note, double PositiveUpToVolts, Connection Fixture, int Socket);

public enum CalibrationStepKind
{
    /// <summary>A voltage is held and read on the meter.</summary>
    Point,
    Resistor,
    Rail,

    /// <summary>Gains, offsets and residuals are looked at and accepted.</summary>
    Review,
    Store,
}

/// <param name="Id">Kebab-case, unique within the procedure.</param>
/// <param name="Point">Of a point.</param>
/// <param name="Resistor">Of a resistor.</param>
/// <param name="Rail">Of a rail.</param>
/// <param name="Expected">Voltage or resistance that a rig without errors would show; NaN where nothing is read.</param>
public sealed record CalibrationStep(string Id, CalibrationStepKind Kind, double Expected, CalibrationPoint? Point = null, ResistorPlace? Resistor = null, RailPlace? Rail = null);

/// <summary>
/// A calibration under way, as an immutable state: what was prepared and what was read. All that follows from it, the next step above all, is worked out anew, so that a
/// procedure that was killed goes on where its record ends. Pure.
/// </summary>
/// <param name="Rig">The rig it is of.</param>
/// <param name="BegunUtc">When it was begun.</param>
public sealed record CalibrationProcedure(RigIdentity Rig, DateTimeOffset BegunUtc, CalibrationPreparation Prepared)
{
    public ImmutableSortedDictionary<string, TakenReading> Readings { get; init; } = ImmutableSortedDictionary.Create<string, TakenReading>(StringComparer.Ordinal);

    /// <summary>Resistances and rails, by id of their step, ohms and volts.</summary>
    public ImmutableSortedDictionary<string, double> Values { get; init; } = ImmutableSortedDictionary.Create<string, double>(StringComparer.Ordinal);

    /// <summary>The operator has seen the residuals.</summary>
    public bool Reviewed { get; init; }

    /// <summary>All steps, in order.</summary>
    public IReadOnlyList<CalibrationStep> Steps { get; } = StepsOf(Rig, Prepared);

    /// <summary>The first step that is not done.</summary>
    public CalibrationStep Current => Steps.First(s => !IsDone(s));

    public int Done => Steps.Count(IsDone);

    public CalibrationStep? Find(string id) => Steps.FirstOrDefault(s => s.Id == id);

    public bool IsDone(CalibrationStep step) => step.Kind switch
    {
        CalibrationStepKind.Point => Readings.ContainsKey(step.Id),
        CalibrationStepKind.Resistor or CalibrationStepKind.Rail => Values.ContainsKey(step.Id),
        CalibrationStepKind.Review => Reviewed,
        _ => false,
    };

    /// <summary>Takes a reading of a step. A step that was read before may be read again until the review; readings after it are the checks.</summary>
    /// <param name="stepId">Which.</param>
    /// <param name="value">What the meter shows, volts or ohms.</param>
    /// <param name="held">What the rig read of itself; needed for a point alone.</param>
    /// <returns>The procedure with it, or every reason against it.</returns>
    public Outcome<CalibrationProcedure> Take(string stepId, double value, HeldReading? held)
    {
        if (Find(stepId) is not { Kind: CalibrationStepKind.Point or CalibrationStepKind.Resistor or CalibrationStepKind.Rail } step)
            return Refuse("step-unknown", "/step", $"a reading for step {stepId}", "this procedure has no such step to read", $"Read {Current.Id} next.");
        if (step.Point is { IsCheck: true } && !Reviewed)
            return Refuse("not-reviewed", "/step", $"a reading for step {stepId}", "the checks come after the review", "Look at the residuals and accept them first.");
        if (Reviewed && step.Point is not { IsCheck: true })
            return Refuse("already-reviewed", "/step", $"a reading for step {stepId}", "the residuals were accepted", "Take back the step first (redo), which takes back the review too.");
        var refusals = step.Point is { } point
            ? held is { } reading ? ReadingChecks.Point(this, point, value, reading) : [new("nothing-held", "", $"a reading for step {stepId}", "the point is not held", "Hold the point, read the meter, then give the reading.")]
            : ReadingChecks.Value(this, step, value);
        if (refusals.Count > 0) return Outcome<CalibrationProcedure>.Refuse(refusals);
        return Outcome<CalibrationProcedure>.Accept(step.Point is null
            ? this with { Values = Values.SetItem(step.Id, value) }
            : this with { Readings = Readings.SetItem(step.Id, new(value, held!)) });
    }

    /// <summary>Accepts the residuals.</summary>
    public Outcome<CalibrationProcedure> Accept()
    {
        if (Steps.FirstOrDefault(s => s.Kind < CalibrationStepKind.Review && s.Point is not { IsCheck: true } && !IsDone(s)) is { } missing)
            return Refuse("readings-missing", "", "the residuals were to be accepted", $"{missing.Id} has not been read", "Take the readings that are left first.");
        return ReadingChecks.Fits(this) is { Count: > 0 } refusals ? Outcome<CalibrationProcedure>.Refuse(refusals) : Outcome<CalibrationProcedure>.Accept(this with { Reviewed = true });
    }

    /// <summary>Takes back the reading of a step, or of all steps of a place (<c>drive</c>, <c>grid</c>, <c>plate</c>, <c>screen</c>, <c>supply</c>), with review and checks.</summary>
    public Outcome<CalibrationProcedure> Redo(string what)
    {
        var steps = Steps.Where(s => s.Id == what || (s.Point is { IsCheck: false } p && CalibrationPoints.Word(p.Place) == what)).ToArray();
        if (steps.Length == 0)
            return Refuse("step-unknown", "/step", $"step {what}", "this procedure has no such step or place", "Name a step by its id, or one of drive, grid, plate, screen, supply.");
        var readings = Readings.RemoveRange(steps.Select(s => s.Id));
        var keepsReview = steps.All(s => s.Point is { IsCheck: true });
        return Outcome<CalibrationProcedure>.Accept(this with
        {
            Readings = keepsReview ? readings : readings.RemoveRange(Steps.Where(s => s.Point is { IsCheck: true }).Select(s => s.Id)),
            Values = Values.RemoveRange(steps.Select(s => s.Id)),
            Reviewed = Reviewed && keepsReview,
        });
    }

    /// <summary>Leaves the positive points out, for example because the permit is over: drive and grid are then calibrated up to 0 V.</summary>
    public Outcome<CalibrationProcedure> LeaveOutPositive()
    {
        var positive = Steps.Where(s => s.Point is { IsPositive: true }).Select(s => s.Id).ToArray();
        if (positive.Length == 0) return Refuse("no-positive-points", "", "the positive points were to be left out", "there are none", "Go on.");
        return Outcome<CalibrationProcedure>.Accept(new CalibrationProcedure(Rig, BegunUtc, Prepared with { PositiveUpToVolts = 0 })
        {
            Readings = Readings.RemoveRange(positive),
            Values = Values,
        });
    }

    /// <summary>What the readings say so far of a place, once they are all there.</summary>
    public CalibrationResult? Result => CalibrationResult.Of(this);

    /// <summary>The finished calibration.</summary>
    /// <param name="id">Its identifier.</param>
    /// <param name="madeUtc">Now.</param>
    /// <param name="validity">How long it holds.</param>
    public Outcome<RigCalibration> Finish(string id, DateTimeOffset madeUtc, TimeSpan validity)
    {
        if (Current is { Kind: not CalibrationStepKind.Store } missing)
            return Outcome<RigCalibration>.Refuse(new Refusal("not-finished", "", "the calibration was to be kept", $"{missing.Id} is not done", "Go through the steps that are left first."));
        var result = Result!;
        var failed = result.Checks.Where(c => !c.Passed).ToArray();
        if (failed.Length > 0)
        {
            return Outcome<RigCalibration>.Refuse([.. failed.Select(c => new Refusal(
                "check-failed", "", FormattableString.Invariant($"{c.Step}, {c.Name}: the corrected rig says {c.CorrectedVolts:0.0000} V, the meter {c.MeterVolts:0.0000} V"),
                FormattableString.Invariant($"they may differ by {c.ExpandedVolts:0.0000} V"), $"Take the {CalibrationPoints.Word(c.Place)} readings again (redo {CalibrationPoints.Word(c.Place)}); check the leads and that nothing drifts."))]);
        }
        return Outcome<RigCalibration>.Accept(result.Calibration(this, id, madeUtc, validity));
    }

    private static List<CalibrationStep> StepsOf(RigIdentity rig, CalibrationPreparation prepared)
    {
        var points = CalibrationPoints.Of(rig, prepared.PositiveUpToVolts);
        var steps = points.Where(p => !p.IsCheck).Select(p => new CalibrationStep(p.Id, CalibrationStepKind.Point, p.NominalVolts, p)).ToList();
        var fixture = prepared.Fixture;
        steps.Add(new("resistor-plate", CalibrationStepKind.Resistor, fixture.PlateResistor.Value, Resistor: ResistorPlace.Plate));
        steps.Add(new("resistor-screen", CalibrationStepKind.Resistor, fixture.ScreenResistor.Value, Resistor: ResistorPlace.Screen));
        steps.Add(new("resistor-grid-stopper", CalibrationStepKind.Resistor, fixture.GridStopper.Value, Resistor: ResistorPlace.GridStopper));
        steps.Add(new("rail-plate", CalibrationStepKind.Rail, fixture.PlateRail.Value, Rail: RailPlace.PlateRail));
        steps.Add(new("rail-bias", CalibrationStepKind.Rail, fixture.BiasRail.Value, Rail: RailPlace.BiasRail));
        steps.Add(new("rail-heater", CalibrationStepKind.Rail, fixture.Heater.Value, Rail: RailPlace.Heater));
        steps.Add(new("review", CalibrationStepKind.Review, double.NaN));
        steps.AddRange(points.Where(p => p.IsCheck).Select(p => new CalibrationStep(p.Id, CalibrationStepKind.Point, p.NominalVolts, p)));
        steps.Add(new("store", CalibrationStepKind.Store, double.NaN));
        return steps;
    }

    private static Outcome<CalibrationProcedure> Refuse(string code, string path, string asked, string allowed, string remedy) =>
        Outcome<CalibrationProcedure>.Refuse(new Refusal(code, path, asked, allowed, remedy));
}
