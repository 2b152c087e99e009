using SweepRig.Analysis.Smoothing;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Analysis.Levels;

/// <summary>A curve with how it was wired and measured; runs of one tube with several plate resistors come as several of them.</summary>
/// <param name="Connection">With the plate rail that this curve was made at.</param>
public sealed record TubeCurve(Curve Curve, Connection Connection, MeasurementUncertainty Known);

/// <summary>
/// Transconductance, plate resistance and amplification factor of the tube itself. One transfer curve does not hold them: along it grid and plate move together, dIp/dVg = gm/(1 + R/rp). Two curves
/// that pass the same grid voltage at different plate voltages do: rp = ΔVp/ΔIp between them (IEC 60151-12 in kind; S·D·Ri = 1 of Barkhausen: mu = gm·rp). Taken at the middle of the pair that lies
/// closest together, so that curvature enters in the second order only. Pure.
/// </summary>
public static class SmallSignalFinder
{
    /// <summary>Least distance of two plate voltages at one grid voltage, V.</summary>
    private const double LeastApart = 0.2;

    /// <param name="curves">Of one tube.</param>
    /// <param name="gridVolts">Where.</param>
    /// <param name="options">For marks.</param>
    public static SmallSignalLevels At(IReadOnlyList<TubeCurve> curves, double gridVolts, LevelOptions options)
    {
        ArgumentNullException.ThrowIfNull(curves);
        var kinds = curves.Select(c => c.Connection.Kind).Distinct().ToArray();
        if (kinds.Length > 1) return None(gridVolts, "pentode and triode curves do not belong to one point");
        var places = curves.Select(c => Place.Of(c, gridVolts, options)).OfType<Place>().OrderBy(p => p.Plate.Value).ToArray();
        if (places.Length < 2)
        {
            return None(gridVolts, places.Length == 0 && curves.Count > 0
                ? $"no curve passes {CurveReading.Volts(gridVolts)} at the grid while the tube conducts"
                : "one curve does not tell the tube from its plate resistor: sweep again with another plate resistor, or with the plate rail stepped");
        }
        (Place Low, Place High)? pair = null;
        foreach (var (low, high) in places.Zip(places.Skip(1)))
        {
            if (high.Plate.Value - low.Plate.Value >= LeastApart && (pair is not { } so || high.Plate.Value - low.Plate.Value < so.High.Plate.Value - so.Low.Plate.Value)) pair = (low, high);
        }
        if (pair is not { } found) return None(gridVolts, $"the curves lie less than {CurveReading.Volts(LeastApart)} of plate voltage apart there: sweep with a plate resistor or rail that differs more");
        if (kinds[0] == ConnectionKind.Pentode && Math.Abs(found.High.Screen - found.Low.Screen) > 0.05 * (found.High.Plate.Value - found.Low.Plate.Value))
            return None(gridVolts, "the screen moves with the plate rail here, and plate resistance is that at constant screen voltage: sweep with another plate resistor at one rail");
        return Between(found.Low, found.High, gridVolts);
    }

    private static SmallSignalLevels Between(Place low, Place high, double gridVolts)
    {
        double dv = high.Plate.Value - low.Plate.Value, di = high.Amps.Value - low.Amps.Value;
        var sigmaI = Smoother.Hypot(high.Amps.Sigma, low.Amps.Sigma);
        if (!(di > 4 * sigmaI)) return None(gridVolts, $"the plate current changes by no more than its noise over {CurveReading.Volts(dv)} of plate voltage; average more, or take curves that lie farther apart");
        var rp = dv / di;
        var show = high.Reading;
        FigureTerm[] rpTerms =
        [
            CurveReading.PlateTerm(high.Plate.Value, 1 / di), CurveReading.PlateTerm(low.Plate.Value, -1 / di),
            .. high.CurrentTerms(-rp / di), .. low.CurrentTerms(rp / di),
        ];
        var rpScatter = Smoother.Hypot(
            Smoother.Hypot((1 / di + rp / di / high.Ohms) * high.Plate.Sigma, (1 / di + rp / di / low.Ohms) * low.Plate.Sigma), rp / di * sigmaI);
        // gm = I'(1 + R/rp) on each curve; the mean of both is that of the middle.
        double slopes = (high.Slope.Value + low.Slope.Value) / 2, loaded = (high.Slope.Value * high.Ohms + low.Slope.Value * low.Ohms) / 2;
        var gm = slopes + loaded / rp;
        var mu = slopes * rp + loaded;
        var slopeScatter = Smoother.Hypot(high.Slope.Sigma, low.Slope.Sigma) / 2;
        var ohms = (high.Ohms + low.Ohms) / 2;
        var at = (low.Plate.Value + high.Plate.Value) / 2;
        FigureTerm[] Slopes(double by) =>
        [
            .. CurveReading.SlopeTerms(gridVolts, at, by), InputQuantity.Resistor(ResistorPlace.Plate).Times(-by / ohms),
        ];
        return new(
            gridVolts,
            show.Show(new(at, "V", Smoother.Hypot(low.Plate.Sigma, high.Plate.Sigma) / 2, high.Plate.First, high.Plate.Last, CurveReading.PlateTerm(at))),
            show.Show(new(
                gm, "S", Smoother.Hypot((1 + ohms / rp) * slopeScatter, loaded / (rp * rp) * rpScatter), high.Slope.First, high.Slope.Last,
                [.. Slopes(gm), .. Scaled(rpTerms, -loaded / (rp * rp)), InputQuantity.Resistor(ResistorPlace.Plate).Times(loaded / rp / ohms)])),
            show.Show(new(rp, "Ω", rpScatter, high.Plate.First, high.Plate.Last, rpTerms)),
            show.Show(new(
                mu, "1", Smoother.Hypot((rp + ohms) * slopeScatter, slopes * rpScatter), high.Slope.First, high.Slope.Last,
                [.. Slopes(mu), .. Scaled(rpTerms, slopes), InputQuantity.Resistor(ResistorPlace.Plate).Times(loaded / ohms)])));
    }

    private static IEnumerable<FigureTerm> Scaled(FigureTerm[] terms, double by) => terms.Select(t => t with { Sensitivity = by * t.Sensitivity });

    private static SmallSignalLevels None(double gridVolts, string because) =>
        new(gridVolts, Figure.None("V", because), Figure.None("S", because), Figure.None("Ω", because), Figure.None("1", because));

    /// <summary>Where a curve passes a grid voltage.</summary>
    private sealed record Place(CurveReading Reading, int Point, Estimate Plate, Estimate Amps, Estimate Slope, double Screen, double Ohms)
    {
        public FigureTerm[] CurrentTerms(double by) => Reading.CurrentTerms(MeasuredCurrent.Plate, Reading.PlateCurrent.Trace, Point, by);

        public static Place? Of(TubeCurve tube, double gridVolts, LevelOptions options)
        {
            var (curve, known) = (tube.Curve, tube.Known);
            var reading = new CurveReading(curve, tube.Connection, options, known);
            var grid = new Smoother(Trace.Of(curve, curve.Grid));
            var current = reading.PlateCurrent;
            if (grid.Trace.Count < LevelFinder.LeastPoints || current.Trace.Count != grid.Trace.Count) return null;
            var values = Pilot.Of(grid).Values;
            var at = Array.FindIndex(values, v => v >= gridVolts);
            if (at <= 0 || grid.Trace.GapBefore(at) || grid.At(at) is not { } window || current.At(at) is not { } amps || reading.Output.At(at) is not { } output) return null;
            if (window.Fit.Where(0, gridVolts, grid.Trace.X[at]) is not { } drive) return null;
            var through = amps.Read(fit => fit.At(0, drive));
            if (!(through.Value > options.CutOffPlateAmps) || !(through.Value > 5 * through.Sigma)) return null;
            var perDrive = window.Fit.At(1, drive);
            var slope = amps.Read(fit => fit.At(1, drive) / perDrive);
            var screen = curve.Screen[grid.Trace.Source(at)];
            return new(reading, at, output.Read(fit => fit.At(0, drive)), through, slope, double.IsFinite(screen) ? screen : 0, known.Resistors[(int)ResistorPlace.Plate].Ohms);
        }
    }
}
