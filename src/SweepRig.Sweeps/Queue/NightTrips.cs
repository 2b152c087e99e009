using SweepRig.Domain.Interlocks;

namespace SweepRig.Sweeps.Queue;

/// <summary>What a trip means to a night.</summary>
public enum TripBlame
{
    /// <summary>The tube's: it is left alone for the rest of the night, and the others go on.</summary>
    Tube,

    /// <summary>The step's: it asked for too much. It failed, and others go on.</summary>
    Step,

    /// <summary>Nobody's that lasts: link, computer or disk for a moment. The step is begun anew.</summary>
    Passing,

    /// <summary>The bench's: something may be broken or somebody wants it to stand still. Nothing more is begun until a person has seen it.</summary>
    Bench,
}

/// <summary>Which trips a night may release by itself. Whatever is not named here is the bench's: a cause that nobody thought of stops the night.</summary>
public static class NightTrips
{
    private static readonly TripCause[] OfTube =
    [
        TripCause.GridCurrent, TripCause.CathodeCurrent, TripCause.HostGridCurrent, TripCause.HostCathodeCurrent, TripCause.PositiveCharge,
        TripCause.ReverseGridCurrent, TripCause.GridDissipation, TripCause.PlateDissipation, TripCause.ScreenDissipation, TripCause.CurrentRunaway,
    ];

    /// <summary>In a screening, whose first steps look for shorts with a rail that a short pulls down, these are the tube's too.</summary>
    private static readonly TripCause[] OfTubeInScreening = [TripCause.SupplyRange, TripCause.HostSupplyRange, TripCause.DriveReadBack];

    private static readonly TripCause[] OfStep = [TripCause.PositiveTime, TripCause.PermitEnded, TripCause.HostPositiveTime, TripCause.HostPositiveCharge];

    private static readonly TripCause[] Passes =
    [
        TripCause.PowerUp, TripCause.LeaseExpired, TripCause.LinkLost, TripCause.RigRestarted, TripCause.RecordingFailed, TripCause.StaleData, TripCause.ClockTrouble,
    ];

    public static TripBlame Of(TripCause cause, bool inScreening) =>
        OfTube.Contains(cause) || (inScreening && OfTubeInScreening.Contains(cause)) ? TripBlame.Tube
        : OfStep.Contains(cause) ? TripBlame.Step
        : Passes.Contains(cause) ? TripBlame.Passing
        : TripBlame.Bench;
}
