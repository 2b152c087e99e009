using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Link.Host;

/// <summary>A command on its way: the requests it takes, one after the other, and who waits for its outcome.</summary>
internal sealed class Exchange(string name)
{
    private readonly Queue<OutgoingRequest> requests = new();

    /// <summary>For people.</summary>
    public string Name => name;

    /// <summary>Who waits; null for nobody.</summary>
    public TaskCompletionSource<RigReply>? ReplyTo { get; set; }

    /// <summary>True for an order to be safe, which overtakes all others.</summary>
    public bool GoesAhead { get; init; }

    public bool IsComplete => requests.Count == 0;

    public OutgoingRequest Next => requests.Peek();

    /// <summary>Program that the exchange starts; set on it so that its samples are known from the first on.</summary>
    public ActiveProgram? Program { get; init; }

    public Exchange Add<T>(T message)
        where T : struct, ILinkMessage<T>
    {
        requests.Enqueue(new(T.Declaration, (sequence, destination) => FrameWriter.Write(message, sequence, destination)));
        return this;
    }

    public void Advance() => requests.Dequeue();

    public void Finish(RigReply reply) => ReplyTo?.TrySetResult(reply);
}

internal delegate int FrameLayer(byte sequence, Span<byte> destination);

/// <summary>A request that can be framed as often as it must be sent.</summary>
internal sealed record OutgoingRequest(MessageDeclaration Declaration, FrameLayer Lay);

/// <summary>A program as the link numbers it.</summary>
internal sealed class ActiveProgram(ushort number, RigProgram program)
{
    public ushort Number => number;

    public RigProgram Program => program;

    /// <summary>Number of the next Samples frame expected.</summary>
    public int NextFrame { get; set; }

    public bool Ended { get; set; }
}
