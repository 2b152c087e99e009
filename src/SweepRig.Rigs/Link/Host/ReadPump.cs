using System.Buffers;
using System.Threading.Channels;

namespace SweepRig.Rigs.Link.Host;

/// <summary>Keeps one read pending on the stream at all times and passes on what comes; a read that starts only when asked for doubles the time of an answer.</summary>
internal static class ReadPump
{
    private const int BufferBytes = 4096;

    public static async Task RunAsync(Stream stream, ChannelWriter<Inbound> inbox, CancellationToken cancellationToken)
    {
        try
        {
            while (true)
            {
                var buffer = ArrayPool<byte>.Shared.Rent(BufferBytes);
                var length = await stream.ReadAsync(buffer.AsMemory(0, BufferBytes), cancellationToken).ConfigureAwait(false);
                if (length > 0)
                {
                    inbox.TryWrite(new(InboundKind.Bytes, buffer, length));
                    continue;
                }
                ArrayPool<byte>.Shared.Return(buffer);
                inbox.TryWrite(new(InboundKind.Failed, Fault: "the other end closed it"));
                return;
            }
        }
        catch (OperationCanceledException)
        {
            inbox.TryWrite(new(InboundKind.Failed, Fault: "it was closed"));
        }
        catch (Exception e) when (IsPortFault(e))
        {
            inbox.TryWrite(new(InboundKind.Failed, Fault: e.Message));
        }
    }

    /// <summary>What ports and pipes throw when they fail or are closed under a read or write.</summary>
    public static bool IsPortFault(Exception e) =>
        e is IOException or ObjectDisposedException or InvalidOperationException or UnauthorizedAccessException or TimeoutException or NotSupportedException;
}

internal enum InboundKind
{
    Bytes,
    Failed,
    Command,
    Tick,

    /// <summary>Something waits in the urgent lane.</summary>
    Wake,
    Close,
}

/// <summary>One message to the owner task.</summary>
internal readonly record struct Inbound(InboundKind Kind, byte[]? Buffer = null, int Length = 0, Command? Command = null, string Fault = "");

/// <summary>A command of a caller. It is turned into requests by the owner task, which knows the rig.</summary>
/// <param name="Name">For people.</param>
/// <param name="Make">Makes the exchange, or a refusal.</param>
internal sealed record Command(string Name, Func<LinkSession, (Exchange? Exchange, RigReply? Refusal)> Make)
{
    public TaskCompletionSource<RigReply> Reply { get; } = new(TaskCreationOptions.RunContinuationsAsynchronously);
}
