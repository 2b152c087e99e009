namespace SweepRig.Rigs.Simulated.Physics;

/// <summary>
/// What is left of a step at a pin that follows its drive through two poles in a row: the drive amplifier and the pin's own resistor and
/// stray capacitance. 1 at the step, 0 in the end.
/// </summary>
/// <remarks>
/// r(t) = (a exp(-t/a) - b exp(-t/b)) / (a - b), and (1 + t/a) exp(-t/a) where both time constants are equal: the step response of two
/// independent first-order sections. The pin moves from its old to its new resting voltage by this fraction, which leaves out that the tube is
/// not linear on the way.
/// </remarks>
internal readonly struct NodeLag(double driveTauMicroseconds, double nodeTauMicroseconds)
{
    private readonly double _a = Math.Max(driveTauMicroseconds, 1e-3);
    private readonly double _b = Math.Max(nodeTauMicroseconds, 1e-3);

    public double Remaining(double elapsedMicroseconds)
    {
        if (elapsedMicroseconds <= 0) return 1;
        var longest = Math.Max(_a, _b);
        if (elapsedMicroseconds > 60 * longest) return 0;
        if (Math.Abs(_a - _b) < 1e-6 * longest) return (1 + elapsedMicroseconds / _a) * Math.Exp(-elapsedMicroseconds / _a);
        return (_a * Math.Exp(-elapsedMicroseconds / _a) - _b * Math.Exp(-elapsedMicroseconds / _b)) / (_a - _b);
    }
}
