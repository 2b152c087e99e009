using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Sweeps.Queue;

namespace SweepRig.Service.Nights;

/// <summary>Turns a night into what people and programs see. Pure.</summary>
public static class NightViewMaker
{
    /// <summary>Steps that are shown of what was done last and of what comes next.</summary>
    private const int Shown = 12;

    /// <param name="rig">Name of its rig.</param>
    /// <param name="at">Now, since the night began.</param>
    public static NightView Of(NightPicture picture, string rig, TimeSpan at)
    {
        ArgumentNullException.ThrowIfNull(picture);
        var (order, night, limits) = (picture.Order, picture.Night, picture.Order.Limits);
        var steps = night is null ? [] : night.Steps;
        var predicted = picture.Forecast.Steps.ToDictionary(s => s.Step);
        NightStepView View(NightStep step) => Step(picture, night!, step, predicted.GetValueOrDefault(step.Index));
        return new(
            picture.Id, picture.Version, rig, order.Name, order.TimeZone, order.Window.ToString(), BenchViews.Utc(picture.BegunUtc), night is null ? null : Utc(picture, night.Setup.EndsAt), State(picture), picture.Doing,
            picture.WakesAt is { } wakes ? Utc(picture, wakes) : null, picture.IsOver ? null : night?.HeldBecause, night is { NeedsPerson: true } && !picture.IsOver, picture.OverBecause, picture.TakenUp,
            new(night?.HeaterTime(at).TotalSeconds ?? 0, limits.HeaterTime?.TotalSeconds, 1e3 * (night?.Coulombs ?? 0), 1e3 * limits.PositiveCoulombs, night?.Acknowledgements ?? 0, limits.Acknowledgements, order.Permit?.Ceiling.Value),
            [.. order.Jobs.Select((job, place) => Job(job, night, place))],
            night is null ? [.. order.Sockets.Select(s => new NightSeatView(s.Socket, s.Label, s.TypeName ?? "", s.Lot, null))] : [.. night.Setup.Seats.Select(s => Seat(s, night.Out.GetValueOrDefault(s.Socket)))],
            Load(picture),
            [.. steps.Where(s => s.IsOver).OrderByDescending(s => s.EndedAt).Take(Shown).Select(View)],
            [.. steps.Where(s => !s.IsOver).OrderByDescending(s => s.State == StepState.Running).ThenBy(s => predicted.GetValueOrDefault(s.Index)?.Begins ?? double.MaxValue).Take(Shown).Select(View)]);
    }

    /// <summary>A page of the steps of a night that is in this process.</summary>
    public static NightStepsView Steps(NightPicture picture, int from, int limit)
    {
        ArgumentNullException.ThrowIfNull(picture);
        if (picture.Night is not { } night) return new(picture.Id, 0, from, []);
        var predicted = picture.Forecast.Steps.ToDictionary(s => s.Step);
        return new(picture.Id, night.Steps.Length, from, [.. night.Steps.Skip(from).Take(limit).Select(s => Step(picture, night, s, predicted.GetValueOrDefault(s.Index)))]);
    }

    public static NightPlanView Plan(NightSetup setup, DateTimeOffset zero)
    {
        ArgumentNullException.ThrowIfNull(setup);
        var forecast = NightForecast.Of(setup);
        var night = Night.Begin(setup);
        string At(TimeSpan time) => BenchViews.Utc(zero + time);
        return new(
            setup.Order.Name, setup.Order.TimeZone, At(setup.Open[0].Opens > TimeSpan.Zero ? setup.Open[0].Opens : TimeSpan.Zero), At(setup.EndsAt),
            new(At(forecast.EndsAt), forecast.HeaterTime.TotalSeconds, forecast.HeaterAmps, forecast.HeaterWatts, forecast.RailAmps, forecast.RailWatts, 1e3 * forecast.Coulombs),
            setup.Order.Limits.HeaterTime?.TotalSeconds, 1e3 * setup.Order.Limits.PositiveCoulombs, setup.Order.Permit?.Ceiling.Value, [.. setup.Seats.Select(s => Seat(s, null))],
            [.. forecast.Steps.Select(s => (Plan: s, Step: night.Steps[s.Step])).Select(s => (s.Plan, s.Step, Needs: night.NeedsOf(s.Step), Job: night.JobOf(s.Step))).Select(s => new PlannedStepView(
                s.Job.Name, s.Job.Work.Word, s.Step.Socket, setup.SeatAt(s.Step.Socket).Tube.Label, s.Step.Turn, At(s.Plan.Begins), At(s.Plan.Measures), At(s.Plan.Ends), s.Needs.RailAmps, s.Needs.RailWatts,
                1e3 * s.Needs.Coulombs, s.Needs.HighestDrive))],
            [.. forecast.NotReached.Select(s => new MissedStepView(night.JobOf(s).Name, s.Socket, setup.SeatAt(s.Socket).Tube.Label, s.Turn, s.Verdict ?? "", Word(s.Short)))]);
    }

    private static NightStepView Step(NightPicture picture, Night night, NightStep step, ForecastStep? predicted) => new(
        step.Index, night.JobOf(step).Name, step.Socket, night.Setup.SeatAt(step.Socket).Tube.Label, step.Turn, NightRecords.Word(step.State), step.Attempts,
        predicted is null ? null : Utc(picture, TimeSpan.FromSeconds(predicted.Begins)), predicted is null ? null : Utc(picture, TimeSpan.FromSeconds(predicted.Ends)),
        step.BeganAt is { } began ? Utc(picture, began) : null, step.EndedAt is { } ended ? Utc(picture, ended) : null, step.Verdict, [.. step.Runs]);

    private static NightJobView Job(NightJob job, Night? night, int place)
    {
        var counts = new int[6];
        foreach (var step in night?.Steps ?? []) if (step.Job == place) counts[(int)step.State]++;
        return new(
            job.Name, job.Work.Word, job.Work.Plan.Name, job.Rank, job.Window?.ToString(), [.. job.After], counts.Sum(), counts[(int)StepState.Waiting], counts[(int)StepState.Running], counts[(int)StepState.Passed],
            counts[(int)StepState.Failed], counts[(int)StepState.Skipped], counts[(int)StepState.NotReached]);
    }

    private static NightSeatView Seat(NightSeat seat, string? left) => new(seat.Socket, seat.Tube.Label, seat.Tube.TypeName, seat.Tube.Lot, left);

    private static NightLoadView Load(NightPicture picture)
    {
        var forecast = picture.Forecast;
        return new(Utc(picture, TimeSpan.FromSeconds(forecast.EndsSeconds)), forecast.HeaterSeconds, forecast.HeaterAmps, forecast.HeaterWatts, forecast.RailAmps, forecast.RailWatts, 1e3 * forecast.Coulombs);
    }

    private static string State(NightPicture picture) => picture.IsOver ? "over"
        : picture.Night is not { } night ? "cut-short"
        : night.Running is not null ? "working"
        : night.HeldBecause is not null ? "held"
        : "waiting";

    private static string Word(Shortage shortage) => shortage switch
    {
        Shortage.HeaterTime => "heater-time",
        Shortage.Charge => "charge",
        _ => "time",
    };

    private static string Utc(NightPicture picture, TimeSpan at) => BenchViews.Utc(picture.BegunUtc + at);
}
