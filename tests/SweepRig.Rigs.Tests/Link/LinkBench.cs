using System.Threading.Channels;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Rigs.Link;

namespace SweepRig.Rigs.Tests.Link;

/// <summary>A <see cref="LinkRig"/> on lines in memory, with a clock that stands still until told to go on.</summary>
internal sealed class LinkBench : IRigPort, IAsyncDisposable
{
    private readonly Channel<ScriptedRig> opened = Channel.CreateUnbounded<ScriptedRig>();

    public LinkBench() => Rig = new(this, Clock, NullLogger<LinkRig>.Instance);

    public WatchedClock Clock { get; } = new();

    public LinkRig Rig { get; }

    public string Name => "a line in memory";

    /// <summary>Thrown by the next attempts to open, one each.</summary>
    public Queue<Exception> OpenFaults { get; } = new();

    public int Attempts { get; private set; }

    /// <summary>The counters last told and passed over.</summary>
    public LinkCounters? Health { get; private set; }

    public List<DuplexStream> HostEnds { get; } = [];

    public ValueTask<Stream> OpenAsync(CancellationToken cancellationToken)
    {
        Attempts++;
        if (OpenFaults.TryDequeue(out var fault)) throw fault;
        var (host, rig) = DuplexStream.Pair();
        HostEnds.Add(host);
        opened.Writer.TryWrite(new(rig));
        return new(host);
    }

    public Task<ScriptedRig> OpenedAsync() => opened.Reader.ReadAsync().AsTask().WaitAsync(Deadline.Time);

    /// <summary>Starts, answers the handshake and waits for the host to know.</summary>
    public async Task<ScriptedRig> ConnectAsync(uint rigTime = 1_000_000)
    {
        Rig.Start();
        var rig = await OpenedAsync();
        rig.Time = rigTime;
        await rig.IntroduceAsync();
        await NextAsync<RigEvent.Connected>();
        await NextAsync<RigEvent.Status>();
        return rig;
    }

    /// <summary>The next event, which must be of this kind; reports of link health are passed over unless asked for.</summary>
    public async Task<T> NextAsync<T>()
        where T : RigEvent
    {
        while (true)
        {
            var next = await Rig.Events.ReadAsync().AsTask().WaitAsync(Deadline.Time);
            if (next is RigEvent.LinkHealth health && typeof(T) != typeof(RigEvent.LinkHealth))
            {
                Health = health.Counters;
                continue;
            }
            return Assert.IsType<T>(next);
        }
    }

    /// <summary>The first event of this kind, whatever comes before it.</summary>
    public async Task<T> UntilAsync<T>()
        where T : RigEvent
    {
        while (true)
            if (await Rig.Events.ReadAsync().AsTask().WaitAsync(Deadline.Time) is T found) return found;
    }

    public async ValueTask DisposeAsync() => await Rig.DisposeAsync().AsTask().WaitAsync(Deadline.Time);
}
