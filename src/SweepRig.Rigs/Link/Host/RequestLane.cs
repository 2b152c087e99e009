namespace SweepRig.Rigs.Link.Host;

/// <summary>
/// Sends requests one at a time: the next only when the one before was answered, the same one again when no answer comes in time, under the same
/// sequence number. Pure but for the clock readings it is given. For the owner task.
/// </summary>
internal sealed class RequestLane
{
    private readonly LinkedList<Exchange> waiting = new();
    private int attempts;
    private byte sequence;

    public Exchange? InFlight { get; private set; }

    /// <summary>When the request in flight must be sent again or given up.</summary>
    public TimeSpan Deadline { get; private set; } = TimeSpan.MaxValue;

    public void Enqueue(Exchange exchange) => waiting.AddLast(exchange);

    /// <summary>
    /// Puts an exchange before all others and gives up the one in flight, whose answer will no longer be known by its sequence. One that went ahead
    /// itself is not given up.
    /// </summary>
    public void Overtake(Exchange exchange)
    {
        if (InFlight is { GoesAhead: false }) Abandon(Refusals.OvertakenBySafe(InFlight.Name));
        waiting.AddFirst(exchange);
    }

    /// <returns>True if a frame must be sent now.</returns>
    public bool TryBegin(TimeSpan now, Span<byte> destination, out int written)
    {
        written = 0;
        if (InFlight is null)
        {
            if (waiting.First is null) return false;
            InFlight = waiting.First.Value;
            waiting.RemoveFirst();
        }
        else if (attempts > 0)
        {
            return false;
        }
        sequence++;
        written = Lay(now, destination);
        return true;
    }

    /// <summary>A number for a request that is sent without waiting for its answer.</summary>
    public byte NextSequence() => ++sequence;

    /// <returns>True if the request in flight must be sent again; false if it was sent often enough and counts as unanswered.</returns>
    public bool TryRepeat(TimeSpan now, Span<byte> destination, out int written)
    {
        written = 0;
        if (attempts >= LinkProtocol.Attempts) return false;
        written = Lay(now, destination);
        return true;
    }

    /// <returns>True if the answer belongs to the request in flight.</returns>
    public bool Matches(byte requestType, byte request) =>
        InFlight is not null && attempts > 0 && request == sequence && requestType == InFlight.Next.Declaration.Number;

    /// <summary>The request in flight was done.</summary>
    /// <returns>The exchange, if that was its last request.</returns>
    public Exchange? Acknowledge()
    {
        var exchange = InFlight ?? throw new InvalidOperationException("SweepRig bug: an answer without a request.");
        exchange.Advance();
        (attempts, Deadline) = (0, TimeSpan.MaxValue);
        if (!exchange.IsComplete) return null;
        InFlight = null;
        return exchange;
    }

    /// <summary>The request in flight was refused or is given up; the rest of its exchange is not sent.</summary>
    public void Abandon(RigReply reply)
    {
        InFlight?.Finish(reply);
        (InFlight, attempts, Deadline) = (null, 0, TimeSpan.MaxValue);
    }

    /// <summary>Ends everything, in flight and waiting.</summary>
    public void Clear(Func<string, RigReply> reply)
    {
        if (InFlight is not null) Abandon(reply(InFlight.Name));
        foreach (var exchange in waiting) exchange.Finish(reply(exchange.Name));
        waiting.Clear();
    }

    private int Lay(TimeSpan now, Span<byte> destination)
    {
        attempts++;
        Deadline = now + LinkProtocol.AnswerTimeout;
        return InFlight!.Next.Lay(sequence, destination);
    }
}
