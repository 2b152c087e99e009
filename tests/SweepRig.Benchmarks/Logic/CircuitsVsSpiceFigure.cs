using System.Globalization;
using SweepRig.Logic.Tests.Spice;

namespace SweepRig.Benchmarks.Logic;

/// <summary>Five hundred random networks of gates, both connections, beside ngspice on the exported netlist; latches also led there from random starts.</summary>
public static class CircuitsVsSpiceFigure
{
    private const int Networks = 500, Leads = 3;

    /// <exception cref="InvalidOperationException">ngspice is missing.</exception>
    public static async Task<FigureLine> MeasureAsync()
    {
        var seen = await CircuitAgreement.CompareAsync(RandomNetworks.Draw(seed: 500, Networks), Leads, seed: 28, CancellationToken.None);
        return new(
            "circuits-vs-spice",
            string.Create(CultureInfo.InvariantCulture, $"{1e3 * seen.WorstVolts:0.0e0} mV worst node of {seen.Networks} networks ({seen.WorstAt}), {seen.Missing} states missing"),
            "< 1 mV, none missing",
            string.Create(CultureInfo.InvariantCulture, $"{seen.Points} balances of ngspice, {seen.Unfinished} runs of it without one; {seen.NotAddingUp} networks whose states do not add up"),
            seen is { Networks: Networks, Missing: 0, NotAddingUp: 0 } && seen.WorstVolts < 1e-3 && seen.Points >= Networks);
    }
}
