using System.Globalization;
using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Api;

/// <summary>Bounds that hold for every bench, checked before a figure becomes a quantity. All faults are reported at once.</summary>
public static class RequestFaults
{
    public const int MaxRunsListed = 500;
    private const int MaxReasonLength = 500;
    private const int MaxNameLength = 80;

    public static IReadOnlyList<Refusal> Heater(HeaterRequest request)
    {
        if (request.Volts is not { } volts || (double.IsFinite(volts) && volts > 0 && volts <= ExtraLowVoltage.Limit.Value)) return [];
        return [new("heater-out-of-range", "/volts", $"heater {Text(volts)} V", $"above 0 V and at most {ExtraLowVoltage.Limit}", "Ask for the heater voltage of the tube type, for example 6.3.")];
    }

    public static IReadOnlyList<Refusal> Permit(PermitRequest request)
    {
        var faults = new List<Refusal>();
        if (!(request.CeilingVolts > 0 && request.CeilingVolts <= ExtraLowVoltage.Limit.Value))
            faults.Add(new("ceiling-out-of-range", "/ceilingVolts", $"ceiling {Text(request.CeilingVolts)} V", $"above 0 V and at most {ExtraLowVoltage.Limit}", "Ask for the highest drive that the plan needs."));
        if (!(request.DurationSeconds > 0 && request.DurationSeconds <= Domain.Interlocks.Permit.MaxDuration.TotalSeconds))
            faults.Add(new("duration-out-of-range", "/durationSeconds", $"{Text(request.DurationSeconds)} s", $"above 0 s and at most {Text(Domain.Interlocks.Permit.MaxDuration.TotalSeconds)} s", "Ask for as long as the sweep takes, and grant another when it is over."));
        if (string.IsNullOrWhiteSpace(request.Reason) || request.Reason.Length > MaxReasonLength)
            faults.Add(new("reason-missing", "/reason", request.Reason.Length == 0 ? "no reason" : $"a reason of {request.Reason.Length} characters", $"1 to {MaxReasonLength} characters, not blank", "Say in a few words why the grid is to be driven positive; it is logged."));
        return faults;
    }

    public static IReadOnlyList<Refusal> Tube(TubeView tube)
    {
        var faults = new List<Refusal>();
        Name(faults, "/tube/label", tube.Label, "the number written on the tube, for example SKUA-014");
        Name(faults, "/tube/type", tube.Type, "the type printed on the tube, for example 6AU6");
        if (tube.Lot is not null) Name(faults, "/tube/lot", tube.Lot, "the lot, or leave it out");
        return faults;
    }

    public static IReadOnlyList<Refusal> Limit(int limit, string next = "olderThan") => limit is >= 1 and <= MaxRunsListed
        ? []
        : [new("limit-out-of-range", "/limit", $"limit {limit}", $"1 to {MaxRunsListed}", $"Page through the list with {next}.")];

    public static IReadOnlyList<Refusal> Only(string? only) => only is null || KindOf(only) is not null
        ? []
        : [new("only-not-understood", "/only", $"only \"{only}\"", "sweeps or screenings", "Leave it out for both.")];

    /// <returns>Null for both kinds.</returns>
    public static RunKind? KindOf(string? only) => only switch
    {
        "sweeps" => RunKind.Sweep,
        "screenings" => RunKind.Screening,
        _ => null,
    };

    public static IReadOnlyList<Refusal> From(long from) => from >= 0
        ? []
        : [new("from-out-of-range", "/from", $"from {from}", "0 or more", "Ask from the sequence number of the first block that is missing.")];

    private static void Name(List<Refusal> faults, string path, string value, string example)
    {
        if (string.IsNullOrWhiteSpace(value) || value.Length > MaxNameLength || value.Any(char.IsControl))
            faults.Add(new("name-not-usable", path, value.Length == 0 ? "nothing" : $"\"{value}\"", $"1 to {MaxNameLength} printable characters", $"Give {example}."));
    }

    private static string Text(double value) => value.ToString("0.######", CultureInfo.InvariantCulture);
}
