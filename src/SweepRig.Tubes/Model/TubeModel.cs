using System.Globalization;
using System.Numerics;
using System.Runtime.CompilerServices;
using SweepRig.Domain.Quantities;
using static SweepRig.Tubes.Model.SmoothFunctions;

namespace SweepRig.Tubes.Model;

/// <summary>Direct currents of a small sharp-cutoff pentode, with the control grid driven from far negative to positive.</summary>
/// <remarks>
/// <para>Voltages are against the cathode, the suppressor is at the cathode. For the triode connection set the screen voltage equal to the
/// plate voltage and add screen and plate currents. S and M are the rounded maximum and minimum of <c>SmoothFunctions</c>; k/e = 8.617333262e-5 V/K.</para>
/// <code>
/// temperature          T    = T0 (Vh/Vh0)^mh, at least 293 K     VT = k T/e     wT = 1.5 VT
/// electrodes           Vs   = S(Vg2, wT)     Vq = S(Vp, wT)
/// composite voltage    Ve   = Vg1 + Vc + Vg2/mu2 + Vp/mup
/// space current        I0   = P S(Ve, w)^1.5                    w = sqrt(wT^2 + (sigma Vs)^2)
/// emission limit       Isat = Is0 (T/T0)^2 exp(-(W e/k)(1/T - 1/T0))        Ie = M(I0, Isat, nE)
/// grid division        Vc1  = S(Vg1 + phi1, VT/2)     I0* = P S(Ve + Vc1 - phi1 - Vg1, w)^1.5
///                      r    = delta sqrt(Vc1/Vs) I0*/I0          If = Ie/(1 + r)
/// grid-screen space    It   = M(If, G2 Vs^1.5, n2)               Ig1e = (Ie + If - It) r/(1 + r)
/// screen division      d    = D (Vq/Vs)^q                        Is = It d/(1 + d)
/// plate space          Ipe  = M(Is, G3 Vq^1.5/(1 + Is/Ib), n3)   Ig2e = It - Ipe
/// gas and leakage      Ii   = gamma It
///                      Ig1  = Ig1e - Ii + Ggk Vg1 + Gg2 (Vg1 - Vg2) + Ggp (Vg1 - Vp)
///                      Ig2  = Ig2e + Gg2 (Vg2 - Vg1)
///                      Ip   = Ipe + Ii + Ggp (Vp - Vg1) + Gpk Vp
/// </code>
/// <para>Units, ranges and meaning of the constants: <see cref="TubeParameters"/>. Sound for Vg1 up to about +5 V and below Vg2; with the grid above
/// the screen the square-root law is an extrapolation. Static: no capacitance, no transit time; no secondary emission, hence no tetrode.</para>
/// <para>Sources. Three-halves law: Child 1911, Phys. Rev. 32, 492; Langmuir 1913, Phys. Rev. 2, 450. Emission: Richardson 1929 (Nobel lecture);
/// Dushman 1923, Phys. Rev. 21, 623. Composite voltage: Tellegen 1925, Physica 5, 301 (from memory). Square-root division of current:
/// Spangenberg 1940, Proc. IRE 28, 226. Screen and plate division by the voltage ratio: Wallis 1947, Proc. IRE 35(4). Limited transmission
/// between planes, virtual cathode: Fay, Samuel, Shockley 1938, Bell Syst. Tech. J. 17, 49. Retarding field and the unequal grid (sigma): Spangenberg
/// 1948, Vacuum Tubes (from memory). The factor 1/(1 + Is/Ib), the rounded minima and the held onset I0*/I0 are constructions made for their limits.</para>
/// <para>Below the onset Ig1e goes exactly with exp(Vg1/VT); far below cut-off the space current does so too. Currents are conserved by construction.</para>
/// </remarks>
public sealed partial class TubeModel
{
    /// <summary>Boltzmann constant over elementary charge. Unit: V/K. Source: CODATA 2018 (both exact in the SI of 2019).</summary>
    public const double BoltzmannOverCharge = 8.617333262e-5;

    /// <summary>A cold cathode is at room temperature, whatever the heater law says. Unit: K.</summary>
    public const double AmbientKelvin = 293.15;

    /// <summary>Above this an oxide cathode is destroyed at once, and the law of emission with it (common practice, no source). Unit: K.</summary>
    public const double HottestKelvin = 3500;

    private readonly TubeConstants _constants;

    /// <summary>A tube at the temperature that the heater voltage gives in the end.</summary>
    /// <exception cref="ArgumentException">Parameters out of range (all are named), or the heater voltage is negative or makes the cathode hotter than <see cref="HottestKelvin"/>.</exception>
    public TubeModel(TubeParameters parameters, Volts heater)
        : this(parameters, FinalKelvin(parameters, heater))
    {
    }

    private TubeModel(TubeParameters p, double kelvin)
    {
        RequireGood(p);
        if (!(kelvin >= AmbientKelvin && kelvin <= HottestKelvin))
        {
            throw new ArgumentOutOfRangeException(nameof(kelvin), kelvin, string.Create(CultureInfo.InvariantCulture,
                $"The cathode would be at {kelvin:0.#} K; allowed is {AmbientKelvin} K to {HottestKelvin} K. Lower the heater voltage or correct the heater law of the tube."));
        }
        Parameters = p;
        TemperatureKelvin = kelvin;
        ThermalVolts = BoltzmannOverCharge * kelvin;
        var relative = kelvin / p.RatedTemperatureKelvin;
        SaturationCurrent = p.Emission * relative * relative
            * Math.Exp(-p.WorkFunctionElectronVolts / BoltzmannOverCharge * (1 / kelvin - 1 / p.RatedTemperatureKelvin));
        _constants = new(p, ThermalVolts, SaturationCurrent);
    }

    public TubeParameters Parameters { get; }

    /// <summary>Cathode temperature. Unit: K.</summary>
    public double TemperatureKelvin { get; }

    /// <summary>k T/e of the cathode. Unit: V.</summary>
    public double ThermalVolts { get; }

    /// <summary>Emission at this temperature (Isat). Unit: A.</summary>
    public double SaturationCurrent { get; }

    internal TubeConstants Constants => _constants;

    /// <summary>The same tube while it warms up or cools down.</summary>
    /// <param name="kelvin">Cathode temperature, <see cref="AmbientKelvin"/> to <see cref="HottestKelvin"/>.</param>
    /// <exception cref="ArgumentException">Parameters or temperature out of range.</exception>
    public static TubeModel AtTemperature(TubeParameters parameters, double kelvin) => new(parameters, kelvin);

    /// <summary>Temperature which the cathode reaches after long warming at the heater voltage. Unit: K. At least <see cref="AmbientKelvin"/>.</summary>
    /// <exception cref="ArgumentException">Parameters out of range, or a negative heater voltage.</exception>
    public static double FinalKelvin(TubeParameters parameters, Volts heater)
    {
        RequireGood(parameters);
        if (heater.Value < 0)
            throw new ArgumentOutOfRangeException(nameof(heater), heater, $"The heater voltage is {heater}; allowed is 0 V or above. Give the magnitude.");
        var kelvin = parameters.RatedTemperatureKelvin * Math.Pow(heater.Value / parameters.RatedHeater, parameters.HeaterExponent);
        return Math.Max(kelvin, AmbientKelvin);
    }

    /// <summary>The electrode currents. Finite for every finite voltage within 1000 V of the cathode.</summary>
    /// <param name="vg1">Grid to cathode. Unit: V.</param>
    /// <param name="vg2">Screen to cathode. Unit: V.</param>
    /// <param name="vp">Plate to cathode. Unit: V.</param>
    public TubeCurrents Evaluate(double vg1, double vg2, double vp) => Evaluate(vg1, vg2, vp, out _);

    /// <summary>The electrode currents and their nine derivatives; analytic, continuous, no allocation.</summary>
    /// <param name="vg1">Grid to cathode. Unit: V.</param>
    /// <param name="vg2">Screen to cathode. Unit: V.</param>
    /// <param name="vp">Plate to cathode. Unit: V.</param>
    /// <param name="derivatives">Partial derivatives. Unit: S.</param>
    public TubeCurrents Evaluate(double vg1, double vg2, double vp, out TubeConductances derivatives)
    {
        // All lanes carry the same point: a scalar text would be quicker (0.18 against 0.28 us measured), but then the formulas would stand twice.
        EvaluateLanes<Plain>(_constants, new(vg1), new(vg2), new(vp), out var lanes, out _);
        derivatives = new(
            lanes.GridByGrid.ToScalar(), lanes.GridByScreen.ToScalar(), lanes.GridByPlate.ToScalar(),
            lanes.ScreenByGrid.ToScalar(), lanes.ScreenByScreen.ToScalar(), lanes.ScreenByPlate.ToScalar(),
            lanes.PlateByGrid.ToScalar(), lanes.PlateByScreen.ToScalar(), lanes.PlateByPlate.ToScalar());
        return new(lanes.Grid.ToScalar(), lanes.Screen.ToScalar(), lanes.Plate.ToScalar());
    }

    /// <summary>Currents and derivatives at many points, as many side by side as the processor has lanes. No allocation.</summary>
    /// <param name="vg1">Grid to cathode. Unit: V.</param>
    /// <param name="vg2">Screen to cathode, same length. Unit: V.</param>
    /// <param name="vp">Plate to cathode, same length. Unit: V.</param>
    /// <param name="columns">Filled from its start.</param>
    /// <exception cref="ArgumentException">Lengths differ, or the columns are too short.</exception>
    public void EvaluateMany(ReadOnlySpan<double> vg1, ReadOnlySpan<double> vg2, ReadOnlySpan<double> vp, TubeColumns columns)
    {
        ArgumentNullException.ThrowIfNull(columns);
        RequireRoom(vg1.Length, vg2.Length, vp.Length, columns.Capacity);
        var width = Vector<double>.Count;
        var at = 0;
        for (; at <= vg1.Length - width; at += width)
        {
            EvaluateLanes<Plain>(_constants, new(vg1[at..]), new(vg2[at..]), new(vp[at..]), out var lanes, out _);
            columns.Store(lanes, at, width);
        }
        if (at == vg1.Length) return;
        EvaluateLanes<Plain>(_constants, Rest(vg1[at..]), Rest(vg2[at..]), Rest(vp[at..]), out var last, out _);
        columns.Store(last, at, vg1.Length - at);
    }

    private static void RequireRoom(int grid, int screen, int plate, int capacity)
    {
        if (screen == grid && plate == grid && capacity >= grid) return;
        throw new ArgumentException(
            $"Given are {grid} grid, {screen} screen and {plate} plate voltages and columns for {capacity}; give equal numbers and columns at least as long.");
    }

    private static Vector<double> Rest(ReadOnlySpan<double> few)
    {
        Span<double> all = stackalloc double[Vector<double>.Count];
        all.Clear();
        few.CopyTo(all);
        return new(all);
    }

    internal static void EvaluateLanes<T>(in TubeConstants c, Vector<double> vg1, Vector<double> vg2, Vector<double> vp, out TubeLanes result, out TubeInner inner)
        where T : struct, ITrace
    {
        // A trailing G, S or P on a name means its derivative by Vg1, Vg2 or Vp.
        var one = Vector<double>.One;
        var width = c.Width;
        var vs = Positive(vg2, width, out var vsSlope);
        var vq = Positive(vp, width, out var vqSlope);
        var screenLog = vsSlope / vs;
        var plateLog = vqSlope / vq;

        var w = Vector.SquareRoot(c.WidthSquared + c.SpreadSquared * vs * vs);
        var wS = c.SpreadSquared * vs * vsSlope / w;
        var ve = vg1 + c.GridOffset + vg2 * c.InverseScreenMu + vp * c.InversePlateMu;
        var e = Positive(ve, w, out var eSlope, out var eWidth);
        var i0 = c.Perveance * e * Vector.SquareRoot(e);
        // Logarithmic derivatives: they stay of order 1/w where the currents themselves nearly vanish.
        var threeHalvesOverE = new Vector<double>(1.5) / e;
        var i0LogG = threeHalvesOverE * eSlope;
        var i0LogP = i0LogG * c.InversePlateMu;
        var i0LogS = i0LogG * c.InverseScreenMu + threeHalvesOverE * eWidth * wS;

        var ie = Smaller(i0, c.Saturation, c.EmissionSharpness, out var ieSlope, out var ieBySaturation);
        var ieScale = ieSlope * i0;
        var ieG = ieScale * i0LogG;
        var ieS = ieScale * i0LogS;
        var ieP = ieScale * i0LogP;

        var onset = c.Onset;
        var vc1 = Positive(vg1 + onset, c.OnsetWidth, out var vc1Slope);
        var held = vc1 - onset - vg1;
        var eh = Positive(ve + held, w, out var ehSlope, out var ehWidth);
        var quotient = eh / e;
        var ratio = quotient * Vector.SquareRoot(quotient);
        var threeHalvesOverEh = new Vector<double>(1.5) / eh;
        var heldLog = threeHalvesOverEh * ehSlope;
        var ratioLogG = heldLog * vc1Slope - i0LogG;
        var ratioLogS = heldLog * c.InverseScreenMu + threeHalvesOverEh * ehWidth * wS - i0LogS;
        var ratioLogP = heldLog * c.InversePlateMu - i0LogP;
        var r = c.Share * Vector.SquareRoot(vc1 / vs) * ratio;
        var rG = r * (0.5 * vc1Slope / vc1 + ratioLogG);
        var rS = r * (ratioLogS - 0.5 * screenLog);
        var rP = r * ratioLogP;
        var pass = one / (one + r);
        var catchPart = r * pass;
        var passSquared = pass * pass;

        var forward = ie * pass;
        var forwardG = pass * (ieG - forward * rG);
        var forwardS = pass * (ieS - forward * rS);
        var forwardP = pass * (ieP - forward * rP);

        var gridLimit = c.GridSpace * vs * Vector.SquareRoot(vs);
        var it = Smaller(forward, gridLimit, c.GridSpaceSharpness, out var itForward, out var itLimit);
        var itG = itForward * forwardG;
        var itS = itForward * forwardS + itLimit * 1.5 * gridLimit * screenLog;
        var itP = itForward * forwardP;

        var caught = ie + forward - it;
        var gridG = catchPart * (ieG + forwardG - itG) + caught * passSquared * rG;
        var gridS = catchPart * (ieS + forwardS - itS) + caught * passSquared * rS;
        var gridP = catchPart * (ieP + forwardP - itP) + caught * passSquared * rP;

        var d = c.PlateShare * Power(vq / vs, c.PlateShareSlope);
        var dPass = one / (one + d);
        var through = d * dPass;
        var injected = it * through;
        var swing = injected * dPass * c.PlateShareSlope;
        var injectedG = itG * through;
        var injectedS = itS * through - swing * screenLog;
        var injectedP = itP * through + swing * plateLog;

        var plateLimit = c.PlateSpace * vq * Vector.SquareRoot(vq) / (one + injected / c.FoldBack);
        var push = -plateLimit / (c.FoldBack + injected);
        var plate = Smaller(injected, plateLimit, c.PlateSpaceSharpness, out var plateInjected, out var plateByLimit);
        var byInjected = plateInjected + plateByLimit * push;
        var plateG = byInjected * injectedG;
        var plateS = byInjected * injectedS;
        var plateP = byInjected * injectedP + plateByLimit * 1.5 * plateLimit * plateLog;

        var ion = c.Gas * it;
        Unsafe.SkipInit(out result);
        result.Grid = caught * catchPart - ion + c.LeakGridCathode * vg1 + c.LeakGridScreen * (vg1 - vg2) + c.LeakGridPlate * (vg1 - vp);
        result.Screen = it - plate + c.LeakGridScreen * (vg2 - vg1);
        result.Plate = plate + ion + c.LeakGridPlate * (vp - vg1) + c.LeakPlateCathode * vp;
        var gridScreen = c.LeakGridScreen;
        var gridPlate = c.LeakGridPlate;
        result.GridByGrid = gridG - c.Gas * itG + (c.LeakGridCathode + c.LeakGridScreen + c.LeakGridPlate);
        result.GridByScreen = gridS - c.Gas * itS - gridScreen;
        result.GridByPlate = gridP - c.Gas * itP - gridPlate;
        result.ScreenByGrid = itG - plateG - gridScreen;
        result.ScreenByScreen = itS - plateS + gridScreen;
        result.ScreenByPlate = itP - plateP;
        result.PlateByGrid = plateG + c.Gas * itG - gridPlate;
        result.PlateByScreen = plateS + c.Gas * itS;
        result.PlateByPlate = plateP + c.Gas * itP + (c.LeakGridPlate + c.LeakPlateCathode);

        Unsafe.SkipInit(out inner);
        if (!T.Wanted) return;
        (inner.SpaceByVolts, inner.HeldByVolts) = (i0LogG, heldLog);
        (inner.SpaceByWidth, inner.HeldByWidth) = (threeHalvesOverE * eWidth, threeHalvesOverEh * ehWidth);
        inner.WidthBySpread = c.SpreadSquared * vs * vs / w;
        (inner.EmittedBySpace, inner.EmittedBySaturation) = (ieScale, ieBySaturation * c.Saturation);
        (inner.Division, inner.DivisionByOnset) = (r, r * (0.5 * vc1Slope / vc1 + heldLog * (vc1Slope - one)));
        (inner.Pass, inner.Emitted, inner.Forward, inner.Caught) = (pass, ie, forward, caught);
        (inner.ThroughByForward, inner.ThroughByLimit) = (itForward, itLimit * gridLimit);
        (inner.Share, inner.Through, inner.Injected, inner.DividePass, inner.Ratio) = (through, it, injected, dPass, Vector.Log(vq / vs));
        (inner.PlateByInjected, inner.PlateByLimit) = (byInjected, plateByLimit * plateLimit);
        inner.PlateByFoldBack = -plateByLimit * push * injected;
    }

    private static void RequireGood(TubeParameters parameters)
    {
        ArgumentNullException.ThrowIfNull(parameters);
        var faults = parameters.Faults();
        if (faults.Count > 0) throw new ArgumentException(string.Join(Environment.NewLine, faults), nameof(parameters));
    }
}
