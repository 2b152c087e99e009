namespace SweepRig.Rigs;

/// <summary>A task that must go on for a bench to be under control.</summary>
public interface IBeats
{
    /// <summary>Completes once the task has come to it among its other work. Fails if the task has ended.</summary>
    Task BeatAsync(CancellationToken cancellationToken);
}
