using SweepRig.Domain.Runs;

namespace SweepRig.Rigs.Control;

/// <summary>One settled, averaged reading, as it goes into a data frame. Unmeasured channels are 0.</summary>
internal readonly record struct Sample(
    int Point,
    long AtMicroseconds,
    int DriveCode,
    SampleFlags Flags,
    int Averaged,
    ushort Spread,
    ushort Plate,
    ushort Grid,
    ushort Screen,
    ushort Supply,
    ushort Drive);
