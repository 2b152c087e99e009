using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Simulated;
using SweepRig.Sweeps.Calibrating;

namespace SweepRig.Service.Calibrations;

/// <summary>The practice meter of the simulated rig in this process.</summary>
public sealed class SimulatedPracticeMeter(SimulatedRig rig) : IPracticeMeter
{
    public double Read(CalibrationStep step, ReferenceMeter meter)
    {
        var practice = new PracticeMeter(rig, meter, rig.Options.Seed);
        return step switch
        {
            { Point: { } point } => practice.Read(CalibrationPoints.ChannelOf(point.Place)),
            { Rail: RailPlace.PlateRail } => practice.Read(Domain.RigChannel.Supply),
            // The simulated rig has no errors in its other supplies.
            { Rail: not null } => practice.Show(step.Expected),
            { Resistor: not null } => practice.Ohms(step.Expected),
            _ => double.NaN,
        };
    }
}
