using SweepRig.Rigs.Control;

namespace SweepRig.Rigs.Simulated.Firmware;

/// <summary>What the controller tells of its own accord; the session puts it on the link.</summary>
internal interface IReports
{
    void Sampled(in Sample sample);

    /// <summary>The running program has ended; samples not yet sent go first.</summary>
    void Ended(long now, bool completed);

    void Tripped(long now);
}
