namespace SweepRig.Rigs.Tests.Simulated;

/// <summary>
/// Tests in which both ends of a link live by the real clock. They run alone: beside tests that keep every processor busy, the thread pool may leave
/// either end waiting for longer than the 500 ms of silence after which a link is lost.
/// </summary>
[CollectionDefinition(Name, DisableParallelization = true)]
public sealed class RealTime
{
    public const string Name = "real time";
}
