namespace SweepRig.Logic.Building;

/// <summary>What somebody read off a meter at a build.</summary>
/// <param name="Node">Where its tip was; the other at ground.</param>
/// <param name="Row">Name of the row that the inputs were set to.</param>
/// <param name="Volts">Unit: V; -100 to 100.</param>
/// <param name="MeterOhms">Input resistance of the meter.</param>
public sealed record BuildReading(string Node, string Row, double Volts, double MeterOhms = TestVoltages.UsualMeterOhms);

/// <summary>A fault, and how well it explains the readings.</summary>
/// <param name="Fault">What is taken to be wrong.</param>
/// <param name="Misfit">Chi-square of all readings, tolerances and what they have in common allowed for.</param>
/// <param name="Share">Its probability, if every fault that was looked for were as likely beforehand. 0 to 1.</param>
/// <param name="Worst">The reading that it explains least, with what it expects there.</param>
public sealed record BuildExplanation(BuildFault Fault, double Misfit, double Share, (BuildReading Reading, double Expected) Worst);

/// <summary>A reading that would tell explanations apart.</summary>
/// <param name="Expected">What each of them would show there. Unit: V.</param>
public sealed record NextReading(string Node, string Row, double MeterOhms, IReadOnlyList<(BuildFault Fault, double Expected)> Expected);

/// <summary>What the readings say of a build.</summary>
/// <param name="IsSound">The network as drawn explains them, and no fault does clearly better.</param>
/// <param name="IsExplained">The best explanation fits them: chance alone would be worse than it once in a thousand times or more.</param>
/// <param name="Explanations">Best first, as many as hold 99 % of the probability together; at least one.</param>
/// <param name="Looked">Faults that were solved.</param>
/// <param name="Next">What to read next, the most telling first; empty when no voltage would tell more.</param>
/// <param name="Says">In words, a sentence each.</param>
public sealed record BuildVerdict(bool IsSound, bool IsExplained, IReadOnlyList<BuildExplanation> Explanations, int Looked, IReadOnlyList<NextReading> Next, IReadOnlyList<string> Says);
