using System.Collections.Immutable;
using System.Text.Json;
using System.Text.Json.Serialization;
using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Sweeps.Calibrating;

/// <summary>A procedure under way as text, saved after each reading so that a killed process goes on where it was.</summary>
public static class ProcedureDocument
{
    private const string Format = "calibration-begun/1";

    private static readonly JsonSerializerOptions Options = new(JsonSerializerDefaults.Web)
    {
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        IgnoreReadOnlyProperties = true,
        RespectNullableAnnotations = true,
        RespectRequiredConstructorParameters = true,
    };

    public static string Write(CalibrationProcedure procedure)
    {
        var prepared = procedure.Prepared;
        var fixture = prepared.Fixture;
        return JsonSerializer.Serialize(
            new Saved(
                Format, procedure.Rig.SerialNumber, procedure.BegunUtc, prepared.Meter, prepared.Note, prepared.PositiveUpToVolts, prepared.Socket,
                new(fixture.PlateRail.Value, fixture.BiasRail.Value, fixture.Heater.Value, fixture.PlateResistor.Value, fixture.ScreenResistor.Value, fixture.GridStopper.Value),
                procedure.Readings.ToDictionary(r => r.Key, r => new SavedReading(r.Value.MeterVolts, r.Value.Held.DriveCode, [.. r.Value.Held.Codes], [.. r.Value.Held.CodeUncertainties], r.Value.Held.Samples)),
                procedure.Values.ToDictionary(), procedure.Reviewed),
            Options);
    }

    /// <summary>Reads a procedure for the rig at hand.</summary>
    /// <returns>The procedure, or the refusal: it is of another rig, or the text is damaged.</returns>
    public static Outcome<CalibrationProcedure> Read(string text, RigIdentity rig)
    {
        Saved saved;
        try
        {
            saved = JsonSerializer.Deserialize<Saved>(text, Options)!;
        }
        catch (JsonException fault)
        {
            return Refuse("calibration-damaged", $"the calibration under way cannot be read at {fault.Path}", "it must be as it was saved", "Abandon it and begin anew.");
        }
        if (saved.Format != Format)
            return Refuse("calibration-damaged", $"the calibration under way has the format {saved.Format}", $"this program knows {Format}", "Use a newer SweepRig, or abandon it and begin anew.");
        if (saved.RigSerialNumber != rig.SerialNumber)
        {
            return Refuse("calibration-of-another-rig", $"the calibration under way was begun on rig {saved.RigSerialNumber}", $"the rig here is {rig.SerialNumber}",
                $"Connect {saved.RigSerialNumber} to go on, or begin one for {rig.SerialNumber}.");
        }
        var f = saved.Fixture;
        var fixture = new Connection(
            ConnectionKind.Pentode, new(f.PlateRailVolts), new(f.BiasRailVolts), new(f.HeaterVolts), new(f.PlateResistorOhms), new(f.ScreenResistorOhms), new(f.GridStopperOhms));
        var procedure = new CalibrationProcedure(rig, saved.BegunUtc, new(true, saved.Meter, saved.Note, saved.PositiveUpToVolts, fixture, saved.Socket));
        var known = procedure.Steps.Select(s => s.Id).ToHashSet(StringComparer.Ordinal);
        if (saved.Readings.Keys.Concat(saved.Values.Keys).FirstOrDefault(k => !known.Contains(k)) is { } strange)
            return Refuse("calibration-damaged", $"the calibration under way has a reading {strange}", "this rig has no such step", "Its firmware may have changed: abandon the calibration and begin anew.");
        if (saved.Readings.Values.Any(r => r.Codes.Length != RigChannels.Count || r.CodeUncertainties.Length != RigChannels.Count))
            return Refuse("calibration-damaged", "a reading of the calibration under way lacks channels", $"each has {RigChannels.Count}", "Abandon it and begin anew.");
        return Outcome<CalibrationProcedure>.Accept(procedure with
        {
            Readings = saved.Readings.ToImmutableSortedDictionary(r => r.Key, r => new TakenReading(r.Value.MeterVolts, new(r.Value.DriveCode, r.Value.Codes, r.Value.CodeUncertainties, r.Value.Samples)), StringComparer.Ordinal),
            Values = saved.Values.ToImmutableSortedDictionary(StringComparer.Ordinal),
            Reviewed = saved.Reviewed,
        });
    }

    private static Outcome<CalibrationProcedure> Refuse(string code, string asked, string allowed, string remedy) =>
        Outcome<CalibrationProcedure>.Refuse(new Refusal(code, "", asked, allowed, remedy));

    private sealed record Saved(
        string Format, string RigSerialNumber, DateTimeOffset BegunUtc, ReferenceMeter Meter, string Note, double PositiveUpToVolts, int Socket, SavedFixture Fixture,
        Dictionary<string, SavedReading> Readings, Dictionary<string, double> Values, bool Reviewed);

    private sealed record SavedFixture(double PlateRailVolts, double BiasRailVolts, double HeaterVolts, double PlateResistorOhms, double ScreenResistorOhms, double GridStopperOhms);

    private sealed record SavedReading(double MeterVolts, int DriveCode, double[] Codes, double[] CodeUncertainties, int Samples);
}
