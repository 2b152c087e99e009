namespace SweepRig.Service.Contract;

/// <summary>What time and supplies ask of a circuit, played with its very tubes and all capacitances.</summary>
/// <param name="LowVolts">Stands for low.</param>
/// <param name="HighVolts">Stands for high.</param>
/// <param name="ThresholdVolts">Of all signals.</param>
/// <param name="Delays">Every input with every output that answers it.</param>
/// <param name="Triggers">Every input whose edges count; none where levels alone do.</param>
/// <param name="Needs">What it takes at rest; null when it has none.</param>
/// <param name="Waves">The slowest path, and every trigger at its shortest period.</param>
/// <param name="Missing">Why something is not told, a sentence each.</param>
/// <param name="Remarks">What must be known beside the figures.</param>
public sealed record TimingView(
    string Name, double LowVolts, double HighVolts, double ThresholdVolts, DelayView[] Delays, TriggerView[] Triggers, NeedsView? Needs, WaveView[] Waves, string[] Missing, string[] Remarks);

/// <summary>From the input passing half of its swing to the output doing so.</summary>
/// <param name="Others">What the other inputs are meanwhile, in words.</param>
public sealed record DelayView(string Input, bool InputRises, string Output, bool OutputRises, double Seconds, string Others);

/// <summary>How fast and how small the falling edges of an input may be.</summary>
/// <param name="ShortestPeriodSeconds">At full swing, every pulse doing its work from every start; null when even a slow one does not.</param>
/// <param name="WrongAtSeconds">The next shorter period that was tried; null when all that were tried work.</param>
/// <param name="SmallestFallVolts">From the restored high level; null when not found.</param>
/// <param name="WrongAtVolts">The next smaller fall that was tried.</param>
/// <param name="WidthSeconds">For how long it was low while its fall was looked for.</param>
public sealed record TriggerView(string Input, double? ShortestPeriodSeconds, double? WrongAtSeconds, double? SmallestFallVolts, double? WrongAtVolts, double WidthSeconds);

/// <param name="PlateAmperes">Most that the positive rail delivers in any row.</param>
/// <param name="BiasAmperes">Most that flows back into the negative rail.</param>
/// <param name="MostWatts">From both rails.</param>
/// <param name="MeanWatts">Mean of all rows.</param>
/// <param name="HeaterAmperes">Of all heaters whose current is known.</param>
/// <param name="HeatersUnknown">Places whose heater current is not known.</param>
public sealed record NeedsView(InputNeedView[] Inputs, double PlateAmperes, double BiasAmperes, double MostWatts, double MeanWatts, double HeaterAmperes, double HeaterWatts, string[] HeatersUnknown);

/// <summary>Current into an input, furthest from 0.</summary>
public sealed record InputNeedView(string Input, double LowAmperes, double HighAmperes);

/// <summary>How signals go in time.</summary>
/// <param name="Path">The delay that it shows; null for a trigger at its shortest period.</param>
/// <param name="Seconds">From the edge of the input of the path, or from the start.</param>
/// <param name="Signals">The input first.</param>
public sealed record WaveView(DelayView? Path, double[] Seconds, WaveSignalView[] Signals);

/// <param name="Volts">A voltage for each moment.</param>
public sealed record WaveSignalView(string Name, double[] Volts);
