using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Quantities;
using SweepRig.Rigs.Bus.Configuration;
using SweepRig.Rigs.Control;

namespace SweepRig.Rigs.Bus;

/// <summary>A limit that was broken, in figures and in words.</summary>
internal readonly record struct BusBreach(Breach Breach, string Measured, string Limit);

/// <summary>Checks the supplies beside the converters: both current meters, the emergency stop, and whether the switch port still knows its settings.</summary>
/// <param name="config">Limits of both supplies.</param>
/// <param name="hardware">What is looked at.</param>
internal sealed class BusWatch(BusConfig config, BusHardware hardware)
{
    /// <summary>How often, running or not. Common practice, no source: a fuse is what acts faster.</summary>
    public const long PeriodMicroseconds = 20_000;

    /// <summary>Readings in a row above a current limit or off the heater's voltage; an overflow acts at once.</summary>
    public const int ReadingsInARow = 3;

    /// <summary>Handbooks allow a heater 10 % either way of its rating; common practice, no source at hand.</summary>
    public const double HeaterTolerance = 0.10;

    /// <summary>The rail's meter reads 4 mV steps with an error of 1 % at most (SBOS448G, 7.5 "Bus voltage measurement error": 0.5 % typical).</summary>
    private const double RailMeterTolerance = 0.01;

    private int _heaterOver, _heaterOff, _railOver, _railHigh;

    /// <summary>Something that still holds as of the latest look.</summary>
    public TripCause? Present { get; private set; }

    /// <param name="heaterOnMicroseconds">Time since the heater was switched on.</param>
    /// <exception cref="BusFaultException">A chip does not answer.</exception>
    public BusBreach? Look(long heaterOnMicroseconds)
    {
        hardware.ThrowIfSwitchesLost();
        var breach = Stop() ?? Rail() ?? Heater(heaterOnMicroseconds);
        Present = breach?.Breach.Cause;
        return breach;
    }

    private BusBreach? Stop() => hardware.StopPressed() ? new(new(TripCause.EmergencyStop, 0, 0), "", "") : null;

    private BusBreach? Rail()
    {
        var meter = config.Rail.Meter;
        var reading = hardware.ReadRail();
        if (reading.Overflow) return Overrun(TripCause.CathodeCurrent, "plate rail", meter);
        if (Count(ref _railOver, reading.Amps > meter.MaxAmps))
            return new(new(TripCause.CathodeCurrent, reading.Amps, meter.MaxAmps), $"plate rail current {new Amps(reading.Amps)}", new Amps(meter.MaxAmps).ToString());
        var most = config.Limits.SupplyMax.Value;
        return config.Rail.HighSide && Count(ref _railHigh, reading.Volts > most * (1 + RailMeterTolerance))
            ? new(new(TripCause.SupplyRange, reading.Volts, most), $"plate rail {new Volts(reading.Volts)} at its current meter", config.Limits.SupplyMax.ToString())
            : null;
    }

    private BusBreach? Heater(long onMicroseconds)
    {
        var meter = config.Heater.Meter;
        var reading = hardware.ReadHeater();
        var inrush = hardware.HeaterOn && onMicroseconds < config.Heater.InrushMilliseconds * 1000L;
        // A cold heater draws several times its running current for its first seconds: neither figure says anything until it is warm.
        if (reading.Overflow && !inrush) return Overrun(TripCause.HeaterSupply, "heater", meter);
        if (Count(ref _heaterOver, !inrush && reading.Amps > meter.MaxAmps))
            return new(new(TripCause.HeaterSupply, reading.Amps, meter.MaxAmps), $"heater current {new Amps(reading.Amps)}", new Amps(meter.MaxAmps).ToString());
        var rated = config.Heater.Voltage.Value;
        return Count(ref _heaterOff, hardware.HeaterOn && !inrush && Math.Abs(reading.Volts - rated) > HeaterTolerance * rated)
            ? new(new(TripCause.HeaterSupply, reading.Volts, rated), $"heater voltage {new Volts(reading.Volts)}", $"{config.Heater.Voltage}, 10 % either way")
            : null;
    }

    private static BusBreach Overrun(TripCause cause, string of, CurrentMeter meter) =>
        new(new(cause, double.PositiveInfinity, meter.MaxAmps), $"{of} current beyond what its meter (INA219 at 0x{meter.Address:x2}) can tell", new Amps(meter.MaxAmps).ToString());

    private static bool Count(ref int inARow, bool broken)
    {
        inARow = broken ? Math.Min(inARow + 1, ReadingsInARow) : 0;
        return inARow >= ReadingsInARow;
    }
}
