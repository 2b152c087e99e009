using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Plans;
using SweepRig.Rigs.Simulated;
using SweepRig.Tubes.Lots;
using SweepRig.Wire.Line;

namespace SweepRig.Sweeps.Tests.Faults;

/// <summary>Something wrong with tube, rig, line or clock in the middle of a sweep, and what must come of it.</summary>
/// <param name="Name">In words.</param>
/// <param name="Attended">The trip that must fire first while somebody is at the bench; null where none may.</param>
/// <param name="Unattended">The same while nobody is.</param>
internal sealed record FaultCase(string Name, TripCause? Attended, TripCause? Unattended)
{
    /// <summary>From cut-off far into positive drive and back, 4 s.</summary>
    public static readonly SweepPlan Far = PlanExamples.FarPositivePentode.Plan with { Points = 96, DwellMicroseconds = 20_000 };

    /// <summary>From cut-off to 0 V, 3 s.</summary>
    public static readonly SweepPlan Gentle = PlanExamples.GentlePentode.Plan with { DwellMicroseconds = 20_000 };

    public FaultCase(string name, TripCause? always)
        : this(name, always, always)
    {
    }

    public SweepPlan Plan { get; init; } = Far;

    /// <summary>Of the tube, from the start.</summary>
    public TubeDefect[] Defects { get; init; } = [];

    /// <summary>Of the rig, from a moment of its time on.</summary>
    public Func<long, SimulatedFault>? Fault { get; init; }

    /// <summary>What the line to the host does from that moment on.</summary>
    public LineRates? Line { get; init; }

    /// <summary>The cable is pulled at that moment.</summary>
    public bool Unplugs { get; init; }

    /// <summary>By how much the computer's calendar is set at that moment.</summary>
    public TimeSpan Jump { get; init; }

    /// <summary>How fast the rig's clock goes.</summary>
    public double ClockRate { get; init; } = 1;

    /// <summary>Time from that moment, or from the start of the first pass for what the tube brings, until drive and plate rail are safe.</summary>
    public TimeSpan Within { get; init; } = TimeSpan.FromSeconds(1);

    public override string ToString() => Name;
}
