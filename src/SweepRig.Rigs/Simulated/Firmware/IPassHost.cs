using SweepRig.Domain;

namespace SweepRig.Rigs.Simulated.Firmware;

/// <summary>What a running program may ask of the rest of the firmware. Each call may end the program by tripping the latch.</summary>
internal interface IPassHost
{
    /// <summary>Puts a code on the DAC after checking it against every ceiling.</summary>
    void Step(long now, int code);

    /// <summary>One conversion, checked against every limit.</summary>
    int Convert(long now, RigChannel channel);

    void Deliver(in Sample sample);

    /// <summary>The last point is measured.</summary>
    void Complete(long now);
}
