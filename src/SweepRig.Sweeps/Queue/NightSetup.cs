using SweepRig.Domain.Tubes;

namespace SweepRig.Sweeps.Queue;

/// <summary>A night whose order was held against stock, rig and clock. Times are since the night began.</summary>
/// <param name="Order">As asked for.</param>
/// <param name="Seats">Tubes in sockets, in the order of the document.</param>
/// <param name="Jobs">In the order of the document.</param>
/// <param name="Open">When the night is open, in order; 1 or more.</param>
/// <param name="WarmAfter">Time that a tube is hot before it is swept.</param>
/// <param name="CoolAfter">Time after which a tube counts as cold.</param>
public sealed record NightSetup(NightOrder Order, IReadOnlyList<NightSeat> Seats, IReadOnlyList<SetJob> Jobs, IReadOnlyList<TimeSlot> Open, TimeSpan WarmAfter, TimeSpan CoolAfter)
{
    /// <summary>Serial number of the rig that it was held against.</summary>
    public required string Rig { get; init; }

    public TimeSpan EndsAt => Open[^1].Closes;

    public NightSeat SeatAt(int socket) => Seats.First(s => s.Socket == socket);
}

/// <param name="Socket">From 0.</param>
/// <param name="HeaterAmps">Current of its heater; null where no table gives it.</param>
public sealed record NightSeat(int Socket, Tube Tube, double? HeaterAmps);

/// <param name="Job">As asked for.</param>
/// <param name="Needs">By socket, in the order in which they are worked on; 1 or more.</param>
/// <param name="Open">When it may be done, within the night; may be none.</param>
/// <param name="After">Places of the jobs that it comes after.</param>
public sealed record SetJob(NightJob Job, IReadOnlyList<KeyValuePair<int, StepNeeds>> Needs, IReadOnlyList<TimeSlot> Open, IReadOnlyList<int> After)
{
    public StepNeeds NeedsAt(int socket) => Needs.First(n => n.Key == socket).Value;
}

/// <param name="Opens">First instant, since the night began; below 0 for one that was open before.</param>
/// <param name="Closes">First instant after it.</param>
public sealed record TimeSlot(TimeSpan Opens, TimeSpan Closes);
