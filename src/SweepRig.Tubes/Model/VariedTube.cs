using System.Numerics;

namespace SweepRig.Tubes.Model;

/// <summary>A tube as often as the processor has lanes, in each with constants that vary by themselves, and at a point of its own.</summary>
/// <remarks>Belongs to one thread. As long as nothing varies the results are those of <see cref="TubeModel.Evaluate(double, double, double)"/>, bit for bit. No allocation but in the constructor.</remarks>
public sealed class VariedTube
{
    private readonly TubeConstants _nominal;
    private TubeConstants _constants;

    public VariedTube(TubeModel tube)
    {
        ArgumentNullException.ThrowIfNull(tube);
        _nominal = _constants = tube.Constants;
    }

    /// <param name="perveance">Factor of the perveance.</param>
    /// <param name="offset">Added to the grid offset. Unit: V.</param>
    /// <param name="emission">Factor of the emission.</param>
    public void Vary(Vector<double> perveance, Vector<double> offset, Vector<double> emission) =>
        (_constants.Perveance, _constants.GridOffset, _constants.Saturation) = (_nominal.Perveance * perveance, _nominal.GridOffset + offset, _nominal.Saturation * emission);

    /// <summary>Currents and derivatives; voltages against the cathode. Unit: V.</summary>
    public void Evaluate(Vector<double> vg1, Vector<double> vg2, Vector<double> vp, out TubeLanes result) =>
        TubeModel.EvaluateLanes<TubeModel.Plain>(_constants, vg1, vg2, vp, out result, out _);
}
