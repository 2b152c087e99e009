using System.Numerics;

namespace SweepRig.Tubes.Model;

public sealed partial class TubeModel
{
    /// <summary>Currents, their derivatives by the voltages, and those by the coordinates of the tube, at many points. Analytic; no allocation.</summary>
    /// <param name="vg1">Grid to cathode. Unit: V.</param>
    /// <param name="vg2">Screen to cathode, same length. Unit: V.</param>
    /// <param name="vp">Plate to cathode, same length. Unit: V.</param>
    /// <param name="columns">Filled from its start.</param>
    /// <param name="sensitivities">Filled from its start.</param>
    /// <exception cref="ArgumentException">Lengths differ, or the columns are too short.</exception>
    public void EvaluateWithSensitivities(
        ReadOnlySpan<double> vg1, ReadOnlySpan<double> vg2, ReadOnlySpan<double> vp, TubeColumns columns, TubeSensitivities sensitivities)
    {
        ArgumentNullException.ThrowIfNull(columns);
        ArgumentNullException.ThrowIfNull(sensitivities);
        RequireRoom(vg1.Length, vg2.Length, vp.Length, Math.Min(columns.Capacity, sensitivities.Capacity));
        var width = Vector<double>.Count;
        for (var at = 0; at < vg1.Length; at += width)
        {
            var count = Math.Min(width, vg1.Length - at);
            Vector<double> g, s, p;
            if (count == width) (g, s, p) = (new(vg1[at..]), new(vg2[at..]), new(vp[at..]));
            else (g, s, p) = (Rest(vg1[at..]), Rest(vg2[at..]), Rest(vp[at..]));
            EvaluateLanes<Traced>(_constants, g, s, p, out var lanes, out var inner);
            columns.Store(lanes, at, count);
            Store(inner, g, s, p, sensitivities, at, count);
        }
    }

    private void Store(in TubeInner v, Vector<double> vg1, Vector<double> vg2, Vector<double> vp, TubeSensitivities to, int at, int count)
    {
        // Everything up to the grid acts through Ie and r; what those two do to the currents is worked out once.
        var zero = Vector<double>.Zero;
        var through = v.ThroughByForward * v.Pass;
        var throughByDivision = -through * v.Forward;
        var catching = v.Division * v.Pass;
        var grid = catching * (Vector<double>.One + v.Pass - through);
        var gridByDivision = v.Caught * v.Pass * v.Pass + catching * (-v.Pass * v.Forward - throughByDivision);
        var plateByThrough = v.PlateByInjected * v.Share;

        var gas = _constants.Gas;

        void Put(TubeParameter parameter, Vector<double> emitted, Vector<double> division)
        {
            var it = through * emitted + throughByDivision * division;
            var plate = plateByThrough * it;
            to.Put(parameter, grid * emitted + gridByDivision * division - gas * it, it - plate, plate + gas * it, at, count);
        }

        Put(TubeParameter.Perveance, v.EmittedBySpace, zero);
        var emittedByVolts = v.EmittedBySpace * v.SpaceByVolts;
        var divisionByVolts = v.Division * (v.HeldByVolts - v.SpaceByVolts);
        Put(TubeParameter.GridOffset, emittedByVolts, divisionByVolts);
        var screenPart = vg2 * -_constants.InverseScreenMu;
        Put(TubeParameter.ScreenMu, emittedByVolts * screenPart, divisionByVolts * screenPart);
        var platePart = vp * -_constants.InversePlateMu;
        Put(TubeParameter.PlateMu, emittedByVolts * platePart, divisionByVolts * platePart);
        Put(TubeParameter.CutoffSpread, v.EmittedBySpace * v.SpaceByWidth * v.WidthBySpread, v.Division * (v.HeldByWidth - v.SpaceByWidth) * v.WidthBySpread);
        Put(TubeParameter.GridShare, zero, v.Division);
        Put(TubeParameter.GridOnset, zero, v.DivisionByOnset);
        Put(TubeParameter.Emission, v.EmittedBySaturation, zero);

        var plateByLimit = plateByThrough * v.ThroughByLimit;
        var ionByLimit = gas * v.ThroughByLimit;
        to.Put(TubeParameter.GridSpaceLimit, -catching * v.ThroughByLimit - ionByLimit, v.ThroughByLimit - plateByLimit, plateByLimit + ionByLimit, at, count);
        var byShare = v.PlateByInjected * v.Injected * v.DividePass;
        to.Put(TubeParameter.PlateShare, zero, -byShare, byShare, at, count);
        var bySlope = byShare * v.Ratio;
        to.Put(TubeParameter.PlateShareSlope, zero, -bySlope, bySlope, at, count);
        to.Put(TubeParameter.PlateSpaceLimit, zero, -v.PlateByLimit, v.PlateByLimit, at, count);
        to.Put(TubeParameter.FoldBackCurrent, zero, -v.PlateByFoldBack, v.PlateByFoldBack, at, count);
        to.Put(TubeParameter.GasRatio, -v.Through, zero, v.Through, at, count);
        to.Put(TubeParameter.GridCathodeLeakSiemens, vg1, zero, zero, at, count);
    }

    internal interface ITrace
    {
        static abstract bool Wanted { get; }
    }

    // Types, not a flag: the compiler then leaves the tracing out of the plain evaluation altogether.
    internal readonly struct Plain : ITrace
    {
        public static bool Wanted => false;
    }

    private readonly struct Traced : ITrace
    {
        public static bool Wanted => true;
    }
}
