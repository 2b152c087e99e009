using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Rigs.Control;

/// <summary>A limit that was broken.</summary>
/// <param name="Cause">Which.</param>
/// <param name="Measured">What was seen, V or A or s by cause.</param>
/// <param name="Limit">The limit, in the same unit.</param>
internal readonly record struct Breach(TripCause Cause, double Measured, double Limit);

/// <summary>Checks every raw conversion against the limits. Each limit must be broken by a stated number of its own conversions in a row.</summary>
/// <remarks>
/// Currents come from the drops over the resistors of the wiring. Grid current is taken from the commanded drive, not from its read-back: the two
/// are compared by a check of their own. A conversion taken before the drive has settled says nothing and is not counted.
/// </remarks>
internal sealed class LimitWatch(DriveScale drive, RawReadings readings)
{
    /// <summary>The ceiling acts on the first conversion above it; the margin covers converter error and noise at the ceiling itself.</summary>
    public const int CeilingConversions = 1;
    public const int GridCurrentConversions = 4;
    public const int CathodeCurrentConversions = 4;
    public const int SupplyConversions = 8;
    public const int ReadBackConversions = 4;

    public const double CeilingMarginVolts = 0.1;
    public const double ReadBackToleranceVolts = 0.5;

    /// <summary>The drive amplifier is at rest after this (12 time constants of 4 us).</summary>
    public const int DriveSettledMicroseconds = 50;

    private int _ceiling, _grid, _cathode, _supply, _readBack;

    public RigLimits Limits { get; set; } = null!;

    public RigWiring Wiring { get; set; } = null!;

    /// <summary>A limit that is broken by enough conversions in a row at present; null if none is.</summary>
    public TripCause? Broken =>
        _ceiling >= CeilingConversions ? TripCause.DriveCeiling
        : _grid >= GridCurrentConversions ? TripCause.GridCurrent
        : _cathode >= CathodeCurrentConversions ? TripCause.CathodeCurrent
        : _supply >= SupplyConversions ? TripCause.SupplyRange
        : _readBack >= ReadBackConversions ? TripCause.DriveReadBack
        : null;

    /// <param name="channel">What was converted.</param>
    /// <param name="code">The conversion.</param>
    /// <param name="driveCode">The code on the DAC.</param>
    /// <param name="sinceStep">Microseconds since that code was written.</param>
    /// <param name="running">True while a program runs.</param>
    public Breach? Check(RigChannel channel, int code, int driveCode, long sinceStep, bool running)
    {
        var volts = readings.Keep(channel, code);
        switch (channel)
        {
            case RigChannel.Drive:
                var ceiling = Limits.DriveCeiling.Value;
                if (Count(ref _ceiling, volts > ceiling + CeilingMarginVolts, CeilingConversions)) return new(TripCause.DriveCeiling, volts, ceiling);
                if (sinceStep < DriveSettledMicroseconds) return null;
                var wanted = drive.ToVolts(driveCode);
                return Count(ref _readBack, Math.Abs(volts - wanted) > ReadBackToleranceVolts, ReadBackConversions)
                    ? new(TripCause.DriveReadBack, volts, wanted)
                    : null;
            case RigChannel.Grid:
                if (sinceStep < DriveSettledMicroseconds) return null;
                var grid = GridCurrent(driveCode);
                return Count(ref _grid, grid > Limits.GridCurrent.Value, GridCurrentConversions)
                    ? new(TripCause.GridCurrent, grid, Limits.GridCurrent.Value)
                    : null;
            case RigChannel.Plate:
                if (sinceStep < DriveSettledMicroseconds) return null;
                var cathode = CathodeCurrent(driveCode);
                return Count(ref _cathode, cathode > Limits.CathodeCurrent.Value, CathodeCurrentConversions)
                    ? new(TripCause.CathodeCurrent, cathode, Limits.CathodeCurrent.Value)
                    : null;
            case RigChannel.Supply:
                var low = running && volts < Limits.SupplyMin.Value;
                return Count(ref _supply, low || volts > Limits.SupplyMax.Value, SupplyConversions)
                    ? new(TripCause.SupplyRange, volts, low ? Limits.SupplyMin.Value : Limits.SupplyMax.Value)
                    : null;
            default:
                return null;
        }
    }

    private double GridCurrent(int driveCode) => (drive.ToVolts(driveCode) - readings[RigChannel.Grid]) / Wiring.GridStopperOhms;

    private double CathodeCurrent(int driveCode)
    {
        var supply = readings[RigChannel.Supply];
        var plate = (supply - readings[RigChannel.Plate]) / Wiring.PlateResistorOhms;
        var screen = Wiring.Kind == ConnectionKind.Triode ? 0 : (supply - readings[RigChannel.Screen]) / Wiring.ScreenResistorOhms;
        return plate + screen + Math.Max(0, GridCurrent(driveCode));
    }

    // Saturates, so that a limit broken for hours does not wrap round.
    private static bool Count(ref int inARow, bool broken, int needed)
    {
        inARow = broken ? Math.Min(inARow + 1, needed) : 0;
        return inARow >= needed;
    }
}
