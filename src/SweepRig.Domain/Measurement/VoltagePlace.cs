namespace SweepRig.Domain.Measurement;

/// <summary>Where a voltage comes from. The first five are the measured channels under the numbers of <see cref="RigChannel"/>.</summary>
public enum VoltagePlace
{
    Plate = RigChannel.Plate,
    Grid = RigChannel.Grid,
    Screen = RigChannel.Screen,
    Supply = RigChannel.Supply,
    DriveReadBack = RigChannel.Drive,

    /// <summary>The drive by its DAC code: what a curve calls drive.</summary>
    Drive = RigChannels.Count,
}

/// <summary>A current that is worked out from the drop over a resistor of the fixture, as <see cref="Runs.Curve"/> has it.</summary>
public enum MeasuredCurrent
{
    /// <summary>From drive to grid, over the grid stopper.</summary>
    Grid,

    /// <summary>From plate rail to screen, over the screen resistor.</summary>
    Screen,

    /// <summary>From plate rail to plate, over the plate resistor.</summary>
    Plate,
}
