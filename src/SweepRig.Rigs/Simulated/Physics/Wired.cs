using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Fixture;

namespace SweepRig.Rigs.Simulated.Physics;

/// <summary>A socket's wiring with the solvers for it: the quick one for tubes that are nothing but their constants, the general one for the rest.</summary>
internal sealed class Wired(RigWiring wiring)
{
    /// <summary>The rails of the connection are not used: drive and rail are passed at each solution.</summary>
    public FixtureSolver Sound { get; } = new(new Connection(
        wiring.Kind, new(0), new(0), new(0), new(wiring.PlateResistorOhms), new(wiring.ScreenResistorOhms), new(wiring.GridStopperOhms)));

    public FaultyFixture Faulty { get; } = new(wiring);

    /// <summary>Current through the grid stopper, A.</summary>
    public double GridAmps(double driveVolts, double gridVolts) => (driveVolts - gridVolts) / wiring.GridStopperOhms;
}
