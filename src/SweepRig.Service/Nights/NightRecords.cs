using System.Text;
using System.Text.Json;
using SweepRig.Storage;
using SweepRig.Sweeps.Queue;

namespace SweepRig.Service.Nights;

/// <summary>How a night was expected to go, as it is kept. Times in seconds since it began.</summary>
public sealed record ForecastDocument(IReadOnlyList<ForecastStep> Steps, double EndsSeconds, double HeaterSeconds, double Coulombs, double? HeaterAmps, double? HeaterWatts, double RailAmps, double RailWatts)
{
    public static ForecastDocument Of(NightForecast forecast)
    {
        ArgumentNullException.ThrowIfNull(forecast);
        return new([.. forecast.Steps.Select(s => new ForecastStep(s.Step, s.Begins.TotalSeconds, s.Measures.TotalSeconds, s.Ends.TotalSeconds))], forecast.EndsAt.TotalSeconds, forecast.HeaterTime.TotalSeconds,
            forecast.Coulombs, forecast.HeaterAmps, forecast.HeaterWatts, forecast.RailAmps, forecast.RailWatts);
    }
}

/// <param name="Step">Place among the steps.</param>
public sealed record ForecastStep(int Step, double Begins, double Measures, double Ends);

/// <summary>What of the limits of a night was used, as it is kept.</summary>
/// <param name="At">When it was written, in seconds since the night began.</param>
/// <param name="Out">Tubes left alone, by socket.</param>
/// <param name="TakenUp">How often the night was taken up again.</param>
/// <param name="Rig">Serial number of the rig.</param>
public sealed record NightProgress(double At, double HeaterSeconds, double Coulombs, int Acknowledgements, IReadOnlyDictionary<int, string> Out, string? HeldBecause, bool NeedsPerson, int TakenUp, string Rig);

/// <summary>Between a night and what the store keeps of it.</summary>
public static class NightRecords
{
    /// <summary>State of an attempt that said nothing, so that the step is begun anew.</summary>
    public const string Again = "again";

    private static readonly JsonSerializerOptions Json = new(JsonSerializerDefaults.Web);

    public static string Write<T>(T value) => JsonSerializer.Serialize(value, Json);

    /// <exception cref="JsonException">It is not what <see cref="Write"/> wrote.</exception>
    // From bytes of their own: for a text it would take three bytes a character from the pool, which keeps them, and a forecast has hundreds of thousands.
    public static T Read<T>(string json) => JsonSerializer.Deserialize<T>(Encoding.UTF8.GetBytes(json), Json) ?? throw new JsonException("null stands where a record should");

    public static string Progress(Night night, TimeSpan at, int takenUp)
    {
        ArgumentNullException.ThrowIfNull(night);
        return Write(new NightProgress(at.TotalSeconds, night.HeaterTime(at).TotalSeconds, night.Coulombs, night.Acknowledgements, night.Out, night.HeldBecause, night.NeedsPerson, takenUp, night.Setup.Rig));
    }

    public static StoredNightStep Of(Night night, NightStep step)
    {
        ArgumentNullException.ThrowIfNull(night);
        ArgumentNullException.ThrowIfNull(step);
        return new(step.Index, step.Attempts, night.JobOf(step).Name, step.Socket, step.Turn, night.Setup.SeatAt(step.Socket).Tube.Label, step is { State: StepState.Waiting, Attempts: > 0 } ? Again : Word(step.State), step.BeganAt, step.EndedAt, step.Verdict, step.Runs, step.Coulombs);
    }

    /// <summary>The steps of a night as far as they are on record: of each the last attempt, with the charge of all.</summary>
    public static IEnumerable<NightStep> Steps(IReadOnlyList<StoredNightStep> stored, NightSetup setup)
    {
        ArgumentNullException.ThrowIfNull(setup);
        foreach (var attempts in stored.GroupBy(s => s.Step))
        {
            var last = attempts.MaxBy(s => s.Attempt)!;
            yield return new NightStep(last.Step, setup.Jobs.TakeWhile(j => j.Job.Name != last.Job).Count(), last.Socket, last.Turn)
            {
                State = State(last.State), Attempts = last.Attempt, BeganAt = last.Began, EndedAt = last.Ended, Verdict = last.Verdict, Runs = [.. last.Runs], Coulombs = last.Coulombs,
            };
        }
    }

    public static string Word(StepState state) => state switch
    {
        StepState.Waiting => "waiting",
        StepState.Running => StoredNightStep.Running,
        StepState.Passed => "passed",
        StepState.Failed => "failed",
        StepState.Skipped => "skipped",
        _ => "not-reached",
    };

    private static StepState State(string word) => word == Again ? StepState.Waiting : Enum.GetValues<StepState>().First(s => Word(s) == word);
}
