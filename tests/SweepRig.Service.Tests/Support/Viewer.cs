using System.Threading.Channels;
using Microsoft.AspNetCore.SignalR.Client;
using Microsoft.Extensions.DependencyInjection;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Tests.Support;

/// <summary>A viewer as any program can be one: a SignalR client that keeps all it is sent, in order.</summary>
public sealed class Viewer : IAsyncDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(30);

    private readonly HubConnection _hub;
    private readonly Channel<object> _messages = Channel.CreateUnbounded<object>();
    private readonly TaskCompletionSource<Exception?> _closed = new(TaskCreationOptions.RunContinuationsAsynchronously);

    private Viewer(HubConnection hub)
    {
        _hub = hub;
        hub.On<BenchView>(nameof(IBenchViewer.BenchChanged), m => _messages.Writer.TryWrite(m));
        hub.On<RunStartedView>(nameof(IBenchViewer.RunStarted), m => _messages.Writer.TryWrite(m));
        hub.On<LiveBlockView>(nameof(IBenchViewer.BlockArrived), m => _messages.Writer.TryWrite(m));
        hub.On<PassEndedView>(nameof(IBenchViewer.PassEnded), m => _messages.Writer.TryWrite(m));
        hub.On<RunEndedView>(nameof(IBenchViewer.RunEnded), m => _messages.Writer.TryWrite(m));
        hub.On<NightChangedView>(nameof(IBenchViewer.NightChanged), m => _messages.Writer.TryWrite(m));
        hub.On<RoundChangedView>(nameof(IBenchViewer.RoundChanged), m => _messages.Writer.TryWrite(m));
        hub.On<RigListView>(nameof(IBenchViewer.RigsChanged), m => _messages.Writer.TryWrite(m));
        hub.Closed += fault =>
        {
            _closed.TrySetResult(fault);
            return Task.CompletedTask;
        };
    }

    public static async Task<Viewer> ConnectAsync(TestBench bench, bool json = false, string? rig = null)
    {
        var builder = new HubConnectionBuilder().WithUrl(new Uri(bench.Url, rig is null ? "/hub/bench" : $"/hub/bench?rig={rig}"));
        if (!json) builder.AddMessagePackProtocol();
        var viewer = new Viewer(builder.Build());
        await viewer._hub.StartAsync(TestContext.Current.CancellationToken);
        return viewer;
    }

    /// <summary>Once the service has shown it the bench: what is published before that need not reach it.</summary>
    public Task GreetedAsync() => UntilAsync<BenchView>(_ => true);

    /// <summary>The next message, which must be of this kind.</summary>
    public async Task<T> NextAsync<T>()
    {
        using var deadline = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        deadline.CancelAfter(Patience);
        return Assert.IsType<T>(await _messages.Reader.ReadAsync(deadline.Token));
    }

    /// <summary>Messages up to the first of this kind that fulfils the condition, which is the last of them.</summary>
    public async Task<IReadOnlyList<object>> UntilAsync<T>(Func<T, bool> condition)
    {
        using var deadline = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        deadline.CancelAfter(Patience);
        var messages = new List<object>();
        while (true)
        {
            messages.Add(await _messages.Reader.ReadAsync(deadline.Token));
            if (messages[^1] is T message && condition(message)) return messages;
        }
    }

    /// <summary>Blocks until so many stored ones have come, whatever messages they came in.</summary>
    public async Task<IReadOnlyList<LiveBlockView>> BlocksAsync(long blocks)
    {
        var messages = new List<LiveBlockView>();
        while (messages.Sum(m => m.Blocks) < blocks) messages.Add(await NextAsync<LiveBlockView>());
        return messages;
    }

    /// <summary>Why the service closed the connection.</summary>
    public Task<Exception?> ClosedAsync() => _closed.Task.WaitAsync(Patience, TestContext.Current.CancellationToken);

    public ValueTask DisposeAsync() => _hub.DisposeAsync();
}
