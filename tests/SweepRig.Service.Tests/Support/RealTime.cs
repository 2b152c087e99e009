namespace SweepRig.Service.Tests.Support;

/// <summary>Tests in which a rig's lease runs by the machine's clock: alone, or a busy machine would trip it, as it would in life.</summary>
[CollectionDefinition(Name, DisableParallelization = true)]
public sealed class RealTime
{
    public const string Name = "real time";
}
