using System.Text.Json;
using System.Text.Json.Serialization;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Studies;

namespace SweepRig.Sweeps.Studies;

/// <summary>What a study was asked to do, as the JSON text that each of its runs carries. Tube, socket and fixture are the runs' own.</summary>
public static class StudyDocument
{
    public const string Format = "study-setup/1";

    public static string Write(StudySetup setup)
    {
        ArgumentNullException.ThrowIfNull(setup);
        var settings = setup switch
        {
            ExplorationSetup e => new StudySettings
            {
                CeilingVolts = e.Ceiling.Value,
                StepVolts = e.StepVolts,
                SettleSeconds = e.Settle.TotalSeconds,
                RestSeconds = e.Rest.TotalSeconds,
                BaselineSweeps = e.BaselineSweeps,
                FalseAlarms = e.FalseAlarms,
                GridAmperes = e.Limits.GridCurrent.Value,
                GridWatts = e.Limits.GridDissipation.Value,
                PlateWatts = e.Limits.PlateDissipation?.Value,
                ScreenWatts = e.Limits.ScreenDissipation?.Value,
                GridCoulombs = e.Limits.GridCoulombs,
            },
            SoakSetup s => Of(s) with { DrawsCurrent = s.DrawsCurrent, SettledVoltsPerHour = s.SettledVoltsPerHour },
            RepeatSetup r => Of(r) with { Plan = JsonElement.Parse(PlanDocument.Write(r.Plan)) },
            WarmUpSetup w => new StudySettings { Times = w.Times, CoolSeconds = w.Cool.TotalSeconds, WatchSeconds = w.Watch.TotalSeconds, BenchWarmUpSeconds = w.BenchWarmUp?.TotalSeconds },
            LifeSetup l => new StudySettings { Cycles = l.Cycles, MeasureEvery = l.MeasureEvery, OnSeconds = l.On.TotalSeconds, OffSeconds = l.Off.TotalSeconds, MostLossPercent = l.MostLossPercent },
            _ => throw new InvalidOperationException($"SweepRig bug: {setup.GetType().Name} has no document."),
        };
        return JsonSerializer.Serialize(settings with { Format = Format, HeaterSpeed = setup.HeaterSpeed }, StudyJsonContext.Default.StudySettings);
    }

    /// <summary>Reads the setup that a run carries.</summary>
    /// <exception cref="InvalidDataException">The run belongs to no study, or its document is damaged or of a later format.</exception>
    public static StudySetup Read(RunHeader header)
    {
        ArgumentNullException.ThrowIfNull(header);
        var tag = header.Study ?? throw new InvalidDataException($"Run {header.Id} belongs to no study.");
        StudySettings? d;
        try
        {
            d = JsonSerializer.Deserialize(tag.Setup, StudyJsonContext.Default.StudySettings);
        }
        catch (JsonException fault)
        {
            throw new InvalidDataException($"The study of run {header.Id} is damaged at {fault.Path}.", fault);
        }
        if (d?.Format != Format) throw new InvalidDataException($"The study of run {header.Id} has format '{d?.Format}'; this program knows '{Format}'.");
        var (tube, socket, fixture) = (header.Tube, header.Socket, header.Plan.Connection);
        double Need(double? value, string key) => value ?? throw new InvalidDataException($"The study of run {header.Id} does not say \"{key}\".");
        TimeSpan Seconds(double? value, string key) => TimeSpan.FromSeconds(Need(value, key));
        int Whole(int? value, string key) => (int)Need(value, key);
        Watts? Power(double? value) => value is { } watts ? new(watts) : null;
        StudySetup setup = tag.Kind switch
        {
            StudyKind.Exploration => new ExplorationSetup(
                tag.StudyId, tube, socket, fixture, new(Need(d.CeilingVolts, "ceilingVolts")),
                new(new(Need(d.GridAmperes, "gridAmperes")), new(Need(d.GridWatts, "gridWatts")), Power(d.PlateWatts), Power(d.ScreenWatts), Need(d.GridCoulombs, "gridCoulombs")))
            {
                StepVolts = Need(d.StepVolts, "stepVolts"),
                Settle = Seconds(d.SettleSeconds, "settleSeconds"),
                Rest = Seconds(d.RestSeconds, "restSeconds"),
                BaselineSweeps = Whole(d.BaselineSweeps, "baselineSweeps"),
                FalseAlarms = Need(d.FalseAlarms, "falseAlarms"),
            },
            StudyKind.Soak => new SoakSetup(tag.StudyId, tube, socket, fixture, Seconds(d.EverySeconds, "everySeconds"), Whole(d.Count, "count"), d.DrawsCurrent ?? false)
            {
                Settle = Seconds(d.SettleSeconds, "settleSeconds"),
                SettledVoltsPerHour = Need(d.SettledVoltsPerHour, "settledVoltsPerHour"),
            },
            StudyKind.Repeat => new RepeatSetup(tag.StudyId, tube, socket, Plan(d, header), Seconds(d.EverySeconds, "everySeconds"), Whole(d.Count, "count")) { Settle = Seconds(d.SettleSeconds, "settleSeconds") },
            StudyKind.WarmUp => new WarmUpSetup(tag.StudyId, tube, socket, fixture, Whole(d.Times, "times"))
            {
                Cool = Seconds(d.CoolSeconds, "coolSeconds"),
                Watch = Seconds(d.WatchSeconds, "watchSeconds"),
                BenchWarmUp = d.BenchWarmUpSeconds is { } bench ? TimeSpan.FromSeconds(bench) : null,
            },
            StudyKind.Life => new LifeSetup(tag.StudyId, tube, socket, fixture, Whole(d.Cycles, "cycles"), Whole(d.MeasureEvery, "measureEvery"))
            {
                On = Seconds(d.OnSeconds, "onSeconds"),
                Off = Seconds(d.OffSeconds, "offSeconds"),
                MostLossPercent = Need(d.MostLossPercent, "mostLossPercent"),
            },
            _ => throw new InvalidOperationException($"SweepRig bug: study kind {tag.Kind} has no document."),
        };
        return setup with { HeaterSpeed = Need(d.HeaterSpeed, "heaterSpeed") };
    }

    private static StudySettings Of(SeriesSetup s) => new() { EverySeconds = s.Every.TotalSeconds, Count = s.Count, SettleSeconds = s.Settle.TotalSeconds };

    private static SweepPlan Plan(StudySettings d, RunHeader header)
    {
        if (d.Plan is not { } plan) throw new InvalidDataException($"The study of run {header.Id} does not say \"plan\".");
        var read = PlanDocument.Parse(plan);
        return read.IsAccepted ? read.Value : throw new InvalidDataException($"The plan of the study of run {header.Id} is not readable: {read.Refusals[0]}");
    }
}

/// <summary>All keys that any kind of study has; each writes its own. The unit stands last.</summary>
internal sealed record StudySettings
{
    public string? Format { get; init; }

    public double? HeaterSpeed { get; init; }

    public double? CeilingVolts { get; init; }

    public double? StepVolts { get; init; }

    public double? SettleSeconds { get; init; }

    public double? RestSeconds { get; init; }

    public int? BaselineSweeps { get; init; }

    public double? FalseAlarms { get; init; }

    public double? GridAmperes { get; init; }

    public double? GridWatts { get; init; }

    public double? PlateWatts { get; init; }

    public double? ScreenWatts { get; init; }

    public double? GridCoulombs { get; init; }

    public double? EverySeconds { get; init; }

    public int? Count { get; init; }

    public bool? DrawsCurrent { get; init; }

    public double? SettledVoltsPerHour { get; init; }

    public JsonElement? Plan { get; init; }

    public int? Times { get; init; }

    public double? CoolSeconds { get; init; }

    public double? WatchSeconds { get; init; }

    public double? BenchWarmUpSeconds { get; init; }

    public int? Cycles { get; init; }

    public int? MeasureEvery { get; init; }

    public double? OnSeconds { get; init; }

    public double? OffSeconds { get; init; }

    public double? MostLossPercent { get; init; }
}

[JsonSourceGenerationOptions(PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase, DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull)]
[JsonSerializable(typeof(StudySettings))]
internal sealed partial class StudyJsonContext : JsonSerializerContext;
