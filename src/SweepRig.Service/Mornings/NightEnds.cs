using SweepRig.Domain.Watching;
using SweepRig.Service.Watching;

namespace SweepRig.Service.Mornings;

/// <summary>Remembers that a night has ended until somebody asks.</summary>
public sealed class NightEnds : IEventListener
{
    private int _ended;

    public void Hear(BenchEvent happened)
    {
        if (happened.Kind == EventKind.NightEnded) Interlocked.Exchange(ref _ended, 1);
    }

    /// <returns>True once for all nights that have ended since the last call.</returns>
    public bool Take() => Interlocked.Exchange(ref _ended, 0) != 0;
}
