using SweepRig.Domain.Interlocks;

namespace SweepRig.Sweeps.Interlocks.Invariants;

/// <summary>A rig and its host at one moment, as somebody sees them who looks at the outputs and knows when the host last spoke.</summary>
public readonly record struct BenchPicture
{
    /// <summary>Drive that the rig's DAC puts out, volts.</summary>
    public required double Drive { get; init; }

    /// <summary>Drive of the safe code, volts.</summary>
    public required double SafeDrive { get; init; }

    /// <summary>Drive ceiling in force in the rig, volts.</summary>
    public required double RigCeiling { get; init; }

    /// <summary>One step of the DAC, volts: codes are as near to a ceiling as that.</summary>
    public required double DriveStep { get; init; }

    public bool RailOn { get; init; }

    public bool Running { get; init; }

    /// <summary>First cause of the rig's latch; null while it is clear.</summary>
    public TripCause? LatchedBy { get; init; }

    /// <summary>True when the emergency stop has been pressed, or a limit of the rig broken, for as long as the rig needs to notice.</summary>
    public bool LimitBroken { get; init; }

    /// <summary>True at the moment after a host has begun a session.</summary>
    public bool Greeted { get; init; }

    /// <summary>True from the rig's confirmation that what a run left on is off until the next run, within one session.</summary>
    public bool SwitchedOff { get; init; }

    /// <summary>Time since the rig last had a hold of its session (Hello or Renew); longer than any lease if never.</summary>
    public TimeSpan Unheld { get; init; }

    /// <summary>Longest time that the rig holds its outputs without one, its grain included.</summary>
    public required TimeSpan Lease { get; init; }

    /// <summary>Time since the host last had a live permit; zero while it has one.</summary>
    public TimeSpan Unpermitted { get; init; }

    /// <summary>Time since the host tripped, unless it has been released; null while it is clear or dead.</summary>
    public TimeSpan? Tripped { get; init; }

    /// <summary>Longest time from an order to be safe until the rig obeys or has lost its lease: all attempts of the request, then the lease.</summary>
    public required TimeSpan SafeWithin { get; init; }

    /// <summary>Drive at its safe value, plate rail off, no program.</summary>
    public bool AtRest => Drive <= SafeDrive && !RailOn && !Running;
}
