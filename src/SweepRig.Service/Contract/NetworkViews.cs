namespace SweepRig.Service.Contract;

/// <summary>All balances of a network.</summary>
/// <param name="Name">Of the network.</param>
/// <param name="States">Stable ones first.</param>
/// <param name="AddsUp">False when a state is known to be missing: the signs of the determinants do not add up to 1.</param>
/// <param name="Remarks">What must be known beside the figures: models asked outside of where they were seen to hold, a network that cannot rest.</param>
public sealed record NetworkStatesView(string Name, NetworkStateView[] States, bool AddsUp, string[] Remarks);

/// <summary>A balance of a network.</summary>
/// <param name="Stable">Every small disturbance dies away.</param>
/// <param name="SlowestSeconds">Longest time constant of a small disturbance. Unit: s.</param>
/// <param name="Nodes">Voltage of each node against node 0.</param>
/// <param name="Tubes">Electrode currents and dissipations of each tube.</param>
/// <param name="Sources">What each source delivers.</param>
/// <param name="Watts">Of all sources together.</param>
public sealed record NetworkStateView(bool Stable, double SlowestSeconds, NodeVoltageView[] Nodes, TubeStateView[] Tubes, SourceStateView[] Sources, double Watts);

/// <param name="Volts">Against node 0.</param>
public sealed record NodeVoltageView(string Node, double Volts);

/// <summary>A tube in a network. Voltages against its cathode; currents flow into the electrode, that of the cathode out of it.</summary>
/// <param name="Number">In the stock; null for constants written into the network.</param>
/// <param name="OutsideRange">Why its model is asked outside of where its sweeps have shown it to hold; null when it is not, or when nobody can tell.</param>
public sealed record TubeStateView(
    string Name, string? Number, double GridVolts, double ScreenVolts, double PlateVolts, double GridAmperes, double ScreenAmperes, double PlateAmperes, double CathodeAmperes,
    double PlateWatts, double ScreenWatts, string? OutsideRange);

/// <param name="Amperes">Out of its plus terminal.</param>
public sealed record SourceStateView(string Name, double Volts, double Amperes, double Watts);
