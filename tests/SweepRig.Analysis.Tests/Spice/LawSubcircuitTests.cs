using System.Globalization;
using SweepRig.Analysis.Spice;
using SweepRig.Tubes.Laws;

namespace SweepRig.Analysis.Tests.Spice;

/// <summary>The plain laws in ngspice beside their C# and printed values.</summary>
[Trait("needs", "ngspice")]
public sealed class LawSubcircuitTests
{
    // Constants from Koren's list (Glass Audio 8/5, 1996), as repeated in many public texts.
    private static readonly KorenTriode Tube12AX7 = new(100, 1.4, 1060, 600, 300);
    private static readonly KorenTriode Tube12AU7 = new(21.5, 1.3, 1180, 84, 300);
    private static readonly KorenPentode Tube6550 = new(7.9, 1.35, 890, 4200, 60, 24);

    [Theory]
    // Recomputed from the formula.
    [InlineData(250, 0, 6.80912e-3)]
    [InlineData(250, -2, 0.951803e-3)]
    [InlineData(100, -1, 0.100391e-3)]
    [InlineData(24, 0, 0.256018e-3)]
    // A worked example of a textbook on electronics prints 1.07 mA.
    [InlineData(221, -1.61, 1.07723e-3)]
    public async Task Korens_triode_draws_what_is_printed(double vp, double vg, double amps)
    {
        Assert.Equal(amps, Tube12AX7.Current(vp, vg), 1e-5 * amps);
        Assert.Equal(amps, (await CurrentsAsync(LawSubcircuits.Write(Tube12AX7, "law", FixtureDeck.Provenance), vp, vg, null))[0], 1e-5 * amps);
    }

    [Theory]
    [InlineData(250, -8.5, 10.3940e-3)]
    [InlineData(100, 0, 12.5848e-3)]
    [InlineData(12, 0, 0.799433e-3)]
    public void Korens_12AU7_too(double vp, double vg, double amps) => Assert.Equal(amps, Tube12AU7.Current(vp, vg), 1e-5 * amps);

    [Theory]
    // The first is printed as 454 mA and 32 mA in a public check of the formula; the others are recomputed.
    [InlineData(300, 0, 300, 454.4266e-3, 32.28998e-3)]
    [InlineData(250, -15, 250, 148.5534e-3, 10.60483e-3)]
    [InlineData(50, 0, 300, 342.3596e-3, 32.28998e-3)]
    public async Task Korens_pentode_draws_what_is_printed(double vp, double vg, double vg2, double plate, double screen)
    {
        Assert.Equal(plate, Tube6550.PlateCurrent(vp, vg, vg2), 1e-6 * plate);
        Assert.Equal(screen, Tube6550.ScreenCurrent(vg, vg2), 1e-6 * screen);
        var currents = await CurrentsAsync(LawSubcircuits.Write(Tube6550, "law", FixtureDeck.Provenance), vp, vg, vg2);
        Assert.Equal(plate, currents[0], 1e-6 * plate);
        Assert.Equal(screen, currents[1], 1e-6 * screen);
    }

    [Theory]
    // Three-halves law: G 1.5 mA/V^1.5, mu 20, 24 V plate, 0 V grid give 1.97180 mA (recomputed).
    [InlineData(24, 0, 1.97180e-3)]
    [InlineData(24, -1.2, 0)]
    [InlineData(24, -9, 0)]
    public async Task The_three_halves_law_draws_what_it_says(double vp, double vg, double amps)
    {
        var law = new TriodeLaw(1.5e-3, 20);
        Assert.Equal(amps, law.Current(vp, vg), 1e-8);
        Assert.Equal(law.Current(vp, vg), (await CurrentsAsync(LawSubcircuits.Write(law, "law", FixtureDeck.Provenance), vp, vg, null))[0], 1e-9);
    }

    [Theory]
    [InlineData(-60)]
    [InlineData(60)]
    public async Task Far_grids_overflow_nothing(double vg)
    {
        // kP/sqrt(kVB) is 35 a volt: exp of it alone overflows at 21 V.
        var current = (await CurrentsAsync(LawSubcircuits.Write(Tube12AX7, "law", FixtureDeck.Provenance), 1, vg, null))[0];
        Assert.Equal(Tube12AX7.Current(1, vg), current, 1e-9);
    }

    // Sources are meters too: what flows into the electrode, less what the path of 1 Tohm takes.
    private static async Task<double[]> CurrentsAsync(SpiceLibrary library, double vp, double vg, double? vg2)
    {
        var deck = "* one point\n" + library.Text + string.Create(CultureInfo.InvariantCulture,
            $"Vp p 0 {vp:R}\nVg g 0 {vg:R}\n{(vg2 is { } v ? $"Vs s 0 {v:R}\nX1 p s g 0 law\n" : "X1 p g 0 law\n")}Vone one 0 1\nRone one 0 1k\n");
        var vectors = vg2 is null ? ["i(Vp)"] : (string[])["i(Vp)", "i(Vs)"];
        var answer = await Ngspice.RunAsync(deck, "dc Vone 1 1 1", vectors, TestContext.Current.CancellationToken);
        return [.. answer.Rows[0][1..].Select(i => -i)];
    }
}
