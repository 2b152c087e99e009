using SweepRig.Domain;
using SweepRig.Domain.Studies;
using SweepRig.Domain.Tubes;

namespace SweepRig.Sweeps.Studies;

/// <summary>Heater on and off, many times, measured every so many: how the tube wears.</summary>
/// <param name="Cycles">1 to 100,000.</param>
/// <param name="MeasureEvery">Cycles from one measurement to the next, 1 or more.</param>
public sealed record LifeSetup(string StudyId, Tube Tube, int Socket, Connection Fixture, int Cycles, int MeasureEvery = 25) : StudySetup(StudyId, Tube, Socket, Fixture)
{
    public const int MostCycles = 100_000;

    public override StudyKind Kind => StudyKind.Life;

    /// <summary>
    /// Heater on in each cycle, default 1 min; off 4 min. Heater-cycling life tests of receiving tubes run 1 min on and 4 min off for 2,000 cycles (MIL-E-1 and MIL-STD-1311, from memory), with the
    /// heater above its rating (7.0 V in place of 6.3: MIL-PRF-1/1203K, table I, notes, has it for grid emission); here the heater stays at its rating, so that this is no such test.
    /// </summary>
    public TimeSpan On { get; init; } = TimeSpan.FromMinutes(1);

    public TimeSpan Off { get; init; } = TimeSpan.FromMinutes(4);

    /// <summary>
    /// Loss of the current at 0 V drive that ends the test, %; default 33: end of life of an RF pentode at its own operating point is 67 % of its plate current (EF860 data sheet, RFT).
    /// </summary>
    public double MostLossPercent { get; init; } = 33;

    public IReadOnlyList<Refusal> Faults()
    {
        List<Refusal> faults = [];
        void Check(bool good, string code, string path, string asked, string allowed, string remedy)
        {
            if (!good) faults.Add(new(code, path, asked, allowed, remedy));
        }
        Check(Cycles is >= 1 and <= MostCycles, "life-cycles", "/cycles", $"{Cycles} cycles were asked for", $"1 to {MostCycles} are allowed", "Take 200 for a first look.");
        Check(MeasureEvery >= 1 && MeasureEvery <= Math.Max(1, Cycles), "life-measure-every", "/measureEvery", $"a measurement every {MeasureEvery} cycles was asked for", $"1 to {Math.Max(1, Cycles)} are allowed", "Take a tenth of the cycles.");
        Check(On >= TimeSpan.FromSeconds(5) && On <= TimeSpan.FromHours(24), "life-on", "/onSeconds", FormattableString.Invariant($"{On.TotalSeconds:0.#} s on was asked for"), "5 s to 86400 s is allowed", "Take 60 s.");
        Check(Off >= TimeSpan.FromSeconds(5) && Off <= TimeSpan.FromHours(24), "life-off", "/offSeconds", FormattableString.Invariant($"{Off.TotalSeconds:0.#} s off was asked for"), "5 s to 86400 s is allowed", "Take 240 s.");
        Check(MostLossPercent is > 0 and < 100, "life-loss", "/mostLossPercent", FormattableString.Invariant($"an end at a loss of {MostLossPercent} % was asked for"), "above 0 %, below 100 %, is allowed", "Take 33 %.");
        return faults;
    }
}
