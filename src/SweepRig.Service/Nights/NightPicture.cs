using SweepRig.Sweeps.Queue;

namespace SweepRig.Service.Nights;

/// <summary>A night as everybody may look at it; immutable, published whole at each change.</summary>
/// <param name="Id">Of this night: a version 7 UUID as 32 hex digits.</param>
/// <param name="Version">Higher at each change.</param>
/// <param name="Order">As asked for.</param>
/// <param name="Night">Where it stands; null while a night that was taken up again waits for its rig.</param>
/// <param name="Forecast">As it was expected to go at its begin.</param>
/// <param name="BegunUtc">Zero of its times.</param>
/// <param name="Doing">What it does or waits for, for people.</param>
/// <param name="WakesAt">When it goes on by itself, since it began; null where only an event can change it.</param>
public sealed record NightPicture(string Id, long Version, NightOrder Order, Night? Night, ForecastDocument Forecast, DateTimeOffset BegunUtc, string Doing, TimeSpan? WakesAt)
{
    /// <summary>How often it was taken up again by a new process.</summary>
    public int TakenUp { get; init; }

    /// <summary>Why it is over, for people; null before.</summary>
    public string? OverBecause { get; init; }

    public bool IsOver => OverBecause is not null;
}
