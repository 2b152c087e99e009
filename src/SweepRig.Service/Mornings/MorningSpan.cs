namespace SweepRig.Service.Mornings;

/// <summary>The time that a morning report is about.</summary>
public sealed record MorningSpan(DateTimeOffset FromUtc, DateTimeOffset UntilUtc)
{
    /// <summary>Looked back where nobody says otherwise: an evening and a night.</summary>
    public static TimeSpan Usual { get; } = TimeSpan.FromHours(14);

    /// <summary>More would hide a night among many.</summary>
    public static TimeSpan Longest { get; } = TimeSpan.FromDays(31);

    public bool Has(DateTimeOffset utc) => utc >= FromUtc && utc < UntilUtc;
}
