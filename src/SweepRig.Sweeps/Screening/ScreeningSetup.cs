using SweepRig.Domain.Tubes;

namespace SweepRig.Sweeps.Screening;

/// <summary>What is screened, and for how long.</summary>
/// <param name="ScreeningId">Of this screening: a version 7 UUID as 32 hex digits.</param>
/// <param name="Tube">The tube in the socket.</param>
/// <param name="Socket">From 0.</param>
/// <param name="Fixture">Connection, resistors, rail and heater voltage.</param>
public sealed record ScreeningSetup(string ScreeningId, Tube Tube, int Socket, Connection Fixture)
{
    /// <summary>Watched from cold. Default 60 s: a cathode that has not come to rest by then is slow by any measure.</summary>
    public TimeSpan WarmUp { get; init; } = TimeSpan.FromSeconds(60);

    /// <summary>Watched on for drift. Default 2 min.</summary>
    public TimeSpan FirstMinutes { get; init; } = TimeSpan.FromMinutes(2);

    /// <summary>Watched with the heater 10 % lower. Default 45 s, more than five time constants of an ordinary cathode (8 s, illustrative).</summary>
    public TimeSpan LowHeater { get; init; } = TimeSpan.FromSeconds(45);

    /// <summary>Somebody is there to tap the bulb. Default true.</summary>
    public bool Taps { get; init; } = true;

    /// <summary>How much faster than life the heaters of a simulated rig warm; times that wait for a cathode are shorter by it. Default 1.</summary>
    public double HeaterSpeed { get; init; } = 1;
}
