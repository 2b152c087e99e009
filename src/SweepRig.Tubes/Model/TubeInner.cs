using System.Numerics;

namespace SweepRig.Tubes.Model;

/// <summary>What the derivatives by the constants need of an evaluation of the currents.</summary>
internal struct TubeInner
{
    /// <summary>1.5/E dE/dve and the same for the composite voltage with the grid held at its onset; 1.5/E dE/dw likewise.</summary>
    public Vector<double> SpaceByVolts, HeldByVolts, SpaceByWidth, HeldByWidth;

    /// <summary>sigma dw/dsigma.</summary>
    public Vector<double> WidthBySpread;

    /// <summary>Ie by ln I0, and by ln Isat.</summary>
    public Vector<double> EmittedBySpace, EmittedBySaturation;

    /// <summary>Grid division: r, r by the onset, 1/(1 + r), and what is caught.</summary>
    public Vector<double> Division, DivisionByOnset, Pass, Emitted, Forward, Caught;

    /// <summary>It by If, and by ln G2.</summary>
    public Vector<double> ThroughByForward, ThroughByLimit;

    /// <summary>Share that goes on to the plate, It itself, Is, 1/(1 + d), ln(Vq/Vs).</summary>
    public Vector<double> Share, Through, Injected, DividePass, Ratio;

    /// <summary>Ipe by Is, by ln G3, and by ln Ib.</summary>
    public Vector<double> PlateByInjected, PlateByLimit, PlateByFoldBack;
}
