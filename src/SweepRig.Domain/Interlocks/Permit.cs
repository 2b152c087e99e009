using SweepRig.Domain.Quantities;

namespace SweepRig.Domain.Interlocks;

/// <summary>A logged, time-limited permission for positive drive. Held in memory only, so that it dies with the process.</summary>
/// <param name="Id">Identifier in the log.</param>
/// <param name="Ceiling">Highest drive permitted; above 0 V.</param>
/// <param name="Duration">How long from the grant; above 0, at most <see cref="MaxDuration"/>.</param>
/// <param name="Reason">Why, in the operator's words; not empty.</param>
/// <param name="GrantedUtc">When.</param>
public sealed record Permit(Guid Id, Volts Ceiling, TimeSpan Duration, string Reason, DateTimeOffset GrantedUtc)
{
    public static TimeSpan MaxDuration { get; } = TimeSpan.FromHours(8);

    public DateTimeOffset EndsUtc => GrantedUtc + Duration;
}
