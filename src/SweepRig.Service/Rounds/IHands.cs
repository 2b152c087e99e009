using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Simulated;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;

namespace SweepRig.Service.Rounds;

/// <summary>Does at a simulated rig what an operator says to have done: without it a number would name no tube there.</summary>
public interface IHands
{
    /// <summary>Plugs in the tube of that number; what was in the socket comes out.</summary>
    void Seat(int socket, Tube tube);

    void Pull(int socket);
}

/// <summary>Takes the tubes of the simulated rig out of a box, by their numbers. What they are like is known to the box alone.</summary>
public sealed class SimulatedHands(SimulatedRig rig, TubeBox box) : IHands
{
    private static readonly string[] Simulated = [.. TypeCatalogue.BuiltIn.All.Where(t => t.Example is not null).Select(t => t.Name)];

    public void Seat(int socket, Tube tube)
    {
        // A type without constants of its own is played by a 6AU6, as at the sockets of the rig.
        var typical = ExampleTubes.Of(tube.TypeName) ?? ExampleTubes.Sound6AU6;
        rig.Seat(socket, box.Take(tube.Label, typical, [.. Simulated.Where(n => n != tube.TypeName).Select(n => ExampleTubes.Of(n)!)]).Specimen);
    }

    public void Pull(int socket) => rig.Seat(socket, null);
}
