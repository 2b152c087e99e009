namespace SweepRig.Rigs.Bus;

/// <summary>Something that the owner task is to do, and the promise of its outcome.</summary>
/// <param name="what">For people, for example <c>the program</c>.</param>
/// <param name="act">Run on the owner task; may throw <see cref="BusFaultException"/>.</param>
internal sealed class BusCommand(string what, Func<BusSession, ValueTask<RigReply>> act)
{
    private readonly TaskCompletionSource<RigReply> _reply = new(TaskCreationOptions.RunContinuationsAsynchronously);

    public Task<RigReply> Reply => _reply.Task;

    public async ValueTask RunAsync(BusSession session)
    {
        try
        {
            _reply.TrySetResult(await act(session).ConfigureAwait(false));
        }
        catch
        {
            _reply.TrySetResult(BusRefusals.Lost(what));
            throw;
        }
    }

    public void Refuse(RigReply reply) => _reply.TrySetResult(reply);
}
