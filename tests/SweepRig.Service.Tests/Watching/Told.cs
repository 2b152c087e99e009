using SweepRig.Domain.Watching;
using SweepRig.Service.Watching;

namespace SweepRig.Service.Tests.Watching;

/// <summary>Keeps what was told.</summary>
internal sealed class Told : IWatch, IEventListener
{
    private readonly List<BenchEvent> _events = [];

    public IReadOnlyList<BenchEvent> Events
    {
        get
        {
            lock (_events) return [.. _events];
        }
    }

    public void Post(BenchEvent happened)
    {
        lock (_events) _events.Add(happened);
    }

    public void Hear(BenchEvent happened) => Post(happened);
}
