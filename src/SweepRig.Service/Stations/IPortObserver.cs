using SweepRig.Rigs.Bus;
using SweepRig.Rigs.Link;

namespace SweepRig.Service.Stations;

/// <summary>Stands between each rig of this service and its port, to see how opening it goes.</summary>
public interface IPortObserver
{
    IRigPort Around(RigChoice choice, IRigPort port);

    IBusPort Around(RigChoice choice, IBusPort port);
}
