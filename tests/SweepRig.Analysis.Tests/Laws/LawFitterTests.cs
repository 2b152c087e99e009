using SweepRig.Analysis.Laws;
using SweepRig.Analysis.Models;
using SweepRig.Analysis.Tests.Models;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Laws;
using static SweepRig.Analysis.Tests.Models.SimulatedRuns;

namespace SweepRig.Analysis.Tests.Laws;

public sealed class LawFitterTests
{
    [Fact]
    public void The_three_halves_triode_is_recovered_with_its_worked_numbers()
    {
        // G = 1.5 mA/V^1.5, mu = 20 at 24 V and 0 V: 1.97180 mA, 2.46475 mS, 8114.41 ohm (worked from the law; Langmuir 1913, Phys. Rev. 2, 450).
        var fit = LawFitter.Fit(PlainLaw.ThreeHalves, ThreeHalves());
        Assert.InRange(fit.Scale, 0.8, 1.3);
        Near(1.5e-3, fit, "G");
        Near(20, fit, "mu");
        Assert.Equal(1.97180e-3, fit.PlateCurrent(24, 0), 3e-6);
        var small = SmallSignal.Of(Current(fit), 24, 0);
        Assert.Equal(2.46475e-3, small.Transconductance, 5e-6);
        Assert.Equal(8114.41, small.PlateResistance, 30.0);

        Near(1.5, LawFitter.Fit(PlainLaw.FreeExponent, ThreeHalves()), "x");
    }

    [Fact]
    public void Korens_triode_is_recovered_from_the_published_parameters_of_a_12AX7()
    {
        // N. Koren, Glass Audio 8/5 (1996), p. 18: mu 100, X 1.4, kG1 1060, kP 600, kVB 300. At 250 V and -2 V the form gives 0.951803 mA, 1669.98 uS, 53688 ohm.
        var fit = LawFitter.Fit(PlainLaw.KorenTriode, KorenTriode());
        Assert.InRange(fit.Scale, 0.8, 1.3);
        Assert.Equal(0.951803e-3, fit.PlateCurrent(250, -2), 1e-7);
        var small = SmallSignal.Of(Current(fit), 250, -2);
        Assert.Equal(1669.98e-6, small.Transconductance, 2e-7);
        Assert.Equal(53688, small.PlateResistance, 20.0);
        foreach (var (symbol, published) in ((string, double)[])[("mu", 100), ("X", 1.4), ("kG1", 1060), ("kP", 600), ("kVB", 300)]) Near(published, fit, symbol);
    }

    [Fact]
    public void Korens_pentode_is_recovered_from_the_published_parameters_of_a_6550()
    {
        // The same source: mu 7.9, X 1.35, kG1 890, kG2 4200, kP 60, kVB 24. At 250 V, -15 V and 250 V on the screen: 148.5534 mA and 10.60483 mA.
        var truth = new KorenPentode(7.9, 1.35, 890, 4200, 60, 24);
        var fit = LawFitter.Fit(PlainLaw.KorenPentode, [.. new[] { 100.0, 250, 400 }.Select(rail => LawRuns.Of(ConnectionKind.Pentode, rail, 1_000, -60, truth.PlateCurrent, truth.ScreenCurrent))]);
        Assert.InRange(fit.Scale, 0.8, 1.3);
        Assert.Equal(148.5534e-3, fit.PlateCurrent(250, -15, 250), 2e-5);
        Assert.Equal(10.60483e-3, fit.ScreenCurrent(-15, 250), 2e-6);
        Assert.Equal(454.4266e-3, fit.PlateCurrent(300, 0, 300), 2e-4);
        foreach (var (symbol, published) in ((string, double)[])[("mu", 7.9), ("X", 1.35), ("kG1", 890), ("kG2", 4200), ("kP", 60), ("kVB", 24)]) Near(published, fit, symbol);
    }

    // Barkhausen: S D Ri = 1; Kimberly, Electrical Engineering, section 29.20, has mu as the plate step that makes up for a grid step. So told it owes nothing to gm and rp.
    [Fact]
    public void Mu_is_gm_times_rp_on_every_triode_fit()
    {
        foreach (var law in (PlainLaw[])[PlainLaw.ThreeHalves, PlainLaw.FreeExponent])
        {
            var fit = LawFitter.Fit(law, ThreeHalves());
            MuIsGmTimesRp(Current(fit), 24, -0.3);
            Assert.Equal(fit.Constants[1].Figure.Value!.Value, SmallSignal.Of(Current(fit), 24, -0.3).Mu, 1e-4);
        }
        MuIsGmTimesRp(Current(LawFitter.Fit(PlainLaw.KorenTriode, KorenTriode())), 250, -2);

        var run = new SimulatedRuns(3).Run(ExampleTubes.Sound6BH6, Connection(ConnectionKind.Triode), Even(-5, 6, 128));
        foreach (var law in (PlainLaw[])[PlainLaw.ThreeHalves, PlainLaw.FreeExponent, PlainLaw.KorenTriode])
            MuIsGmTimesRp(Current(LawFitter.Fit(law, [run])), 20, -0.2);
        var model = new SweepRig.Tubes.Model.TubeModel(TubeFitter.Fit([run], new() { Typical = ExampleTubes.Sound6BH6 }).Tube!, new(6.3));
        double Model(double vp, double vg) => model.Evaluate(vg, vp, vp) is var i ? i.Plate + i.Screen : 0;
        foreach (var (vp, vg) in ((double, double)[])[(28, 0), (20, -0.3), (28, -0.5)])
        {
            model.Evaluate(vg, vp, vp, out var d);
            Assert.Equal(SmallSignal.Of(Model, vp, vg).Mu, SmallSignal.OfTriode(d).Mu, 1e-4 * SmallSignal.OfTriode(d).Mu);
            MuIsGmTimesRp(Model, vp, vg);
        }
    }

    [Fact]
    public void Points_with_grid_current_are_left_out_whatever_the_channels_are_off_by()
    {
        // Offsets of 20 mV between drive and grid are no current: the onset of a 6AU6-like tube stays where it is.
        var tube = ExampleTubes.Sound6AU6;
        var exact = LawFitter.Fit(PlainLaw.FreeExponent, [new SimulatedRuns(5).Run(tube, Connection(ConnectionKind.Triode), Even(-5, 4, 180))]);
        var off = LawFitter.Fit(PlainLaw.FreeExponent, [new SimulatedRuns(5, offsetVolts: 20e-3, gain: 1e-3).Run(tube, Connection(ConnectionKind.Triode), Even(-5, 4, 180))]);
        Assert.InRange(exact.Residuals[0].Drive.Max(), -0.8, -0.3);
        Assert.Equal(exact.Residuals[0].Drive.Max(), off.Residuals[0].Drive.Max(), 0.11);
    }

    [Fact]
    public void A_pentode_at_a_low_rail_is_not_described_by_the_power_law_and_that_is_said_beside_the_model()
    {
        ModelRun[] runs = [new SimulatedRuns(3).Run(ExampleTubes.Sound6BH6, Connection(ConnectionKind.Triode), Even(-5, 6, 128))];
        var model = TubeFitter.Fit(runs, new() { Typical = ExampleTubes.Sound6BH6 });
        var all = LawComparison.All(runs, model);
        Assert.Equal([PlainLaw.ThreeHalves, PlainLaw.FreeExponent, PlainLaw.KorenTriode], all.Select(c => c.Fit.Law));
        Assert.Contains(all[0].Fit.Findings, f => f.Code == "not-described");
        Assert.All(all, c => Assert.InRange(c.ModelRmsVolts!.Value, 0.5e-3, 1.5e-3));
        // More constants of the same form never leave more over. Koren's five follow the curve; an exponent at its edge is named, not numbered.
        Assert.True(all[0].Fit.OutputRmsVolts > all[1].Fit.OutputRmsVolts && all[1].Fit.OutputRmsVolts > 50 * all[1].ModelRmsVolts);
        Assert.InRange(all[2].Fit.OutputRmsVolts, 0.9e-3, 3e-3);
        Assert.Contains("the edge", all[1].Fit.Constants[2].Figure.AbsentBecause, StringComparison.Ordinal);
    }

    [Fact]
    public void A_law_without_runs_or_points_of_its_own_says_so()
    {
        ModelRun[] triode = [new SimulatedRuns(3).Run(ExampleTubes.Sound6BH6, Connection(ConnectionKind.Triode), Even(0.5, 6, 96))];
        Assert.Equal("wrong-connection", Assert.Single(LawFitter.Fit(PlainLaw.KorenPentode, triode).Findings).Code);
        var none = LawFitter.Fit(PlainLaw.ThreeHalves, triode);
        Assert.False(none.IsFitted);
        Assert.Contains("grid below 0 V", none.Findings[0].Says, StringComparison.Ordinal);
        Assert.True(double.IsNaN(none.PlateCurrent(24, 0)));
    }

    private static Func<double, double, double> Current(LawFit fit) => (vp, vg) => fit.PlateCurrent(vp, vg);

    private static ModelRun[] ThreeHalves()
    {
        var truth = new TriodeLaw(1.5e-3, 20);
        return [Run(24, 10_000), Run(30, 22_000)];
        ModelRun Run(double rail, double ohms) => LawRuns.Of(ConnectionKind.Triode, rail, ohms, -2, (vp, vg, _) => truth.Current(vp, vg));
    }

    private static ModelRun[] KorenTriode()
    {
        var truth = new KorenTriode(100, 1.4, 1060, 600, 300);
        return [.. new[] { 60.0, 150, 250, 350 }.Select(rail => LawRuns.Of(ConnectionKind.Triode, rail, 22_000, -5, (vp, vg, _) => truth.Current(vp, vg)))];
    }

    /// <summary>Where the runs tell a constant, it is that of the truth to within four standard uncertainties; the first always is told.</summary>
    private static void Near(double truth, LawFit fit, string symbol)
    {
        var figure = fit.Constants.Single(c => c.Symbol == symbol).Figure;
        if (symbol is "mu" or "G") Assert.NotNull(figure.Value);
        if (figure.Value is { } value) Assert.Equal(truth, value, 4 * figure.Uncertainty!.Value);
    }

    private static void MuIsGmTimesRp(Func<double, double, double> current, double vp, double vg)
    {
        const double step = 1e-4;
        // Halving finds the plate voltage that brings the current back.
        double PlateFor(double grid) => LawRuns.OnLoadLine(2 * vp, 1, v => 2 * vp - v + (current(v, grid) - current(vp, vg)) * 1e6);
        var alone = -(PlateFor(vg + step) - PlateFor(vg - step)) / (2 * step);
        Assert.Equal(alone, SmallSignal.Of(current, vp, vg).Mu, 1e-3 * alone);
    }
}
