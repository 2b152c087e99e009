using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Quantities;

namespace SweepRig.Sweeps.Interlocks;

/// <summary>What a block breaks.</summary>
public readonly record struct Breakage(TripCause Cause, string Measured, string Limit);

/// <summary>The rules that look at a block and at what is remembered of those before it. Pure.</summary>
internal static class BlockRules
{
    /// <summary>Blocks in a row, for what heats slowly or may be one bad reading.</summary>
    private const int HotBlocks = 3, ReverseBlocks = 3, ReadBackBlocks = 2;

    /// <summary>A rail this near to the plan is the plan's whatever its part.</summary>
    private const double RailVolts = 0.2;

    /// <summary>Positive drive by rounding of a code alone is none.</summary>
    private const double NotPositive = 1e-9;

    public static BlockMemory Remember(BlockMemory memory, PassFacts? pass, in BlockSummary block, HostLimits limits)
    {
        if (double.IsNaN(block.LastSeconds)) return memory;
        var sweep = pass is { IsSweep: true };
        var negative = block.MaxDrive <= NotPositive;
        return memory with
        {
            Exposure = memory.Exposure.With(block),
            Climb = sweep ? memory.Climb.With(block.MaxDrive, block.CathodeAtTop, block.LastSeconds, limits.RunawayRise) : Climb.None,
            ReadBackBlocks = Count(memory.ReadBackBlocks, block.ReadBackError > limits.ReadBackVolts + limits.ReadBackRoomVolts),
            ReverseBlocks = Count(memory.ReverseBlocks, sweep && -block.MinGridCurrent > limits.ReverseGridCurrent + limits.GridRoomVolts / pass!.StopperOhms),
            GridHotBlocks = Count(memory.GridHotBlocks, block.GridWatts > limits.GridWatts),
            PlateHotBlocks = Count(memory.PlateHotBlocks, block.PlateWatts > limits.PlateShare * (pass?.PlateWatts ?? double.PositiveInfinity)),
            ScreenHotBlocks = Count(memory.ScreenHotBlocks, block.ScreenWatts > limits.ScreenShare * (pass?.ScreenWatts ?? double.PositiveInfinity)),
            ClippedSamples = !sweep ? 0 : block.ClippedAtEnd == block.Count ? memory.ClippedSamples + block.Count : block.ClippedAtEnd,
            Grid = Still(memory.Grid, block.GridCode, block),
            Plate = Still(memory.Plate, block.PlateCode, block),
            Screen = Still(memory.Screen, block.ScreenCode, block),
            ReadBack = Still(memory.ReadBack, block.ReadBackCode, block),
        };

        Stillness Still(Stillness before, int code, in BlockSummary now) => sweep && negative ? before.With(code, now.MinDrive, now.MaxDrive) : Stillness.None;
    }

    /// <param name="memory">With this block in it.</param>
    public static Breakage? Broken(BlockMemory memory, PassFacts? pass, in BlockSummary block, HostLimits limits)
    {
        if (pass is not null && !double.IsNaN(pass.RailVolts))
        {
            var room = limits.RailDeviation * pass.RailVolts + RailVolts + limits.RailRoomVolts;
            var worst = pass.RailVolts - block.MinSupply > block.MaxSupply - pass.RailVolts ? block.MinSupply : block.MaxSupply;
            if (Math.Abs(worst - pass.RailVolts) > room)
                return new(TripCause.HostSupplyRange, $"plate rail {new Volts(worst)}", $"{new Volts(pass.RailVolts)} planned, {new Volts(room)} either way");
        }
        if (memory.ReadBackBlocks >= ReadBackBlocks)
            return new(TripCause.HostReadBack, $"drive read back {new Volts(block.ReadBackError)} off", new Volts(limits.ReadBackVolts + limits.ReadBackRoomVolts).ToString());
        if (memory.ReverseBlocks >= ReverseBlocks)
            return new(TripCause.ReverseGridCurrent, $"{new Amps(-block.MinGridCurrent)} out of grid 1", new Amps(limits.ReverseGridCurrent + limits.GridRoomVolts / pass!.StopperOhms).ToString());
        if (memory.GridHotBlocks >= HotBlocks) return new(TripCause.GridDissipation, $"{new Watts(block.GridWatts)} in grid 1", new Watts(limits.GridWatts).ToString());
        if (memory.PlateHotBlocks >= HotBlocks) return new(TripCause.PlateDissipation, $"{new Watts(block.PlateWatts)} in the plate", new Watts(limits.PlateShare * pass!.PlateWatts).ToString());
        if (memory.ScreenHotBlocks >= HotBlocks) return new(TripCause.ScreenDissipation, $"{new Watts(block.ScreenWatts)} in the screen", new Watts(limits.ScreenShare * pass!.ScreenWatts).ToString());
        if (Exposed(memory.Exposure, limits) is { } exposed) return exposed;
        if (memory.Climb.IsRunaway)
            return new(TripCause.CurrentRunaway, $"cathode current from {new Amps(memory.Climb.BaseAmps)} to {new Amps(memory.Climb.LastAmps)} at {new Volts(memory.Climb.Drive)}", $"{limits.RunawayRise * 100:0.#} % from look to look");
        if (memory.ClippedSamples >= limits.ClippedSamples) return new(TripCause.ChannelClipped, $"{memory.ClippedSamples} samples in a row at the end of a range", $"{limits.ClippedSamples:0} samples");
        return Stuck("grid", memory.Grid) ?? Stuck("plate", memory.Plate) ?? Stuck("screen", memory.Screen) ?? Stuck("drive read-back", memory.ReadBack);

        Breakage? Stuck(string channel, Stillness still) => still.MovedVolts >= limits.StuckVolts
            ? new(TripCause.ChannelStuck, $"the {channel} channel gave code {still.Code} while the drive moved {new Volts(still.MovedVolts)}", new Volts(limits.StuckVolts).ToString())
            : null;
    }

    private static Breakage? Exposed(Exposure exposure, HostLimits limits)
    {
        if (exposure.PassSeconds > limits.PositiveSeconds) return new(TripCause.HostPositiveTime, $"{exposure.PassSeconds:0.0} s above 0 V in this pass", $"{limits.PositiveSeconds:0.#} s");
        if (exposure.MinuteSeconds > limits.PositiveSeconds) return new(TripCause.HostPositiveTime, $"{exposure.MinuteSeconds:0.0} s above 0 V in a minute", $"{limits.PositiveSeconds:0.#} s");
        if (exposure.PassCoulombs > limits.PositiveCoulombs) return new(TripCause.HostPositiveCharge, $"{exposure.PassCoulombs * 1e3:0.0} mC into the grid in this pass", $"{limits.PositiveCoulombs * 1e3:0.#} mC");
        if (exposure.MinuteCoulombs > limits.PositiveCoulombs) return new(TripCause.HostPositiveCharge, $"{exposure.MinuteCoulombs * 1e3:0.0} mC into the grid in a minute", $"{limits.PositiveCoulombs * 1e3:0.#} mC");
        return null;
    }

    private static int Count(int before, bool broken) => broken ? Math.Min(before + 1, 1_000) : 0;
}
