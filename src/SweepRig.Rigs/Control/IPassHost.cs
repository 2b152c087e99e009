using SweepRig.Domain;

namespace SweepRig.Rigs.Control;

/// <summary>
/// What a running program may ask of the rest of the rig. Each call may end the program by tripping the latch. A rig whose clock goes on while it
/// works moves <c>now</c> to when the work was done.
/// </summary>
internal interface IPassHost
{
    /// <summary>Puts a code on the DAC after checking it against every ceiling.</summary>
    void Step(ref long now, int code);

    /// <summary>One conversion, checked against every limit.</summary>
    int Convert(ref long now, RigChannel channel);

    void Deliver(in Sample sample);

    /// <summary>The last point is measured.</summary>
    void Complete(long now);
}
