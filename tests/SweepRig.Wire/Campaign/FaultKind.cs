using SweepRig.Wire.Line;

namespace SweepRig.Wire.Campaign;

/// <summary>What is wrong with the line in one sweep.</summary>
public enum FaultKind
{
    None,
    DropBytes,
    DropFrames,
    DuplicateBytes,
    DuplicateFrames,
    ReorderBytes,
    ReorderFrames,
    FlipBits,
    Bursts,
    Delays,
    Stalls,
    Unplug,
    Everything,
}

/// <summary>Rates of one sweep, drawn from its seed: some lines are a little bad, some very.</summary>
internal static class FaultRates
{
    private const double BytesOfFrame = 60;

    public static (LineRates ToRig, LineRates ToHost) Draw(FaultKind kind, Random random)
    {
        // One way, the other way or both.
        var ways = 1 + random.Next(3);
        var toRig = (ways & 1) != 0 ? Of(kind, random) : LineRates.Clean;
        var toHost = (ways & 2) != 0 ? Of(kind, random) : LineRates.Clean;
        return (toRig, toHost);
    }

    private static LineRates Of(FaultKind kind, Random random)
    {
        // Logarithmic, so that each order of magnitude comes as often: 1 % to 40 % of the frames are hit.
        double Frame() => 0.01 * Math.Pow(40, random.NextDouble());
        double Byte() => Frame() / BytesOfFrame;
        return kind switch
        {
            FaultKind.None or FaultKind.Unplug => LineRates.Clean,
            FaultKind.DropBytes => new() { DropByte = Byte() },
            FaultKind.DropFrames => new() { DropFrame = Frame() },
            FaultKind.DuplicateBytes => new() { DuplicateByte = Byte() },
            FaultKind.DuplicateFrames => new() { DuplicateFrame = Frame() },
            FaultKind.ReorderBytes => new() { SwapBytes = Byte() },
            FaultKind.ReorderFrames => new() { SwapFrames = Frame() },
            FaultKind.FlipBits => new() { FlipBit = Byte() },
            FaultKind.Bursts => new() { Burst = Byte() },
            FaultKind.Delays => new() { Delay = Frame() },
            FaultKind.Stalls => new() { Stall = Frame() / 5 },
            FaultKind.Everything => new()
            {
                DropByte = Byte() / 6, DropFrame = Frame() / 6, DuplicateByte = Byte() / 6, DuplicateFrame = Frame() / 6, SwapBytes = Byte() / 6,
                SwapFrames = Frame() / 6, FlipBit = Byte() / 6, Burst = Byte() / 6, Delay = Frame() / 6, Stall = Frame() / 60,
            },
            _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "There is no such fault."),
        };
    }
}
