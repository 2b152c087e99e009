using System.Globalization;

namespace SweepRig.Benchmarks;

/// <summary>One measured figure as it is printed.</summary>
/// <param name="Name">Kebab-case name.</param>
/// <param name="Value">Value with unit.</param>
/// <param name="Target">What is to be reached.</param>
/// <param name="Beside">What it was compared with, measured in the same call.</param>
/// <param name="Met">True when the target is reached.</param>
public sealed record FigureLine(string Name, string Value, string Target, string Beside, bool Met)
{
    public override string ToString() => $"{Name}: {Value} (target: {Target}; beside: {Beside}) {(Met ? "met" : "short")}";

    public static string Text(double value, string format = "0.##") => value.ToString(format, CultureInfo.InvariantCulture);
}
