namespace SweepRig.Analysis.Smoothing;

/// <summary>Something that a polynomial shows at a drive, for example a turning point, with the window that it lies in.</summary>
/// <param name="At">Point nearest to it.</param>
/// <param name="Drive">Reads its drive off a polynomial through the window; NaN where that does not show it.</param>
/// <param name="Place">Its drive as the window has it, volts.</param>
internal sealed record Feature(Window Window, int At, Func<LocalPolynomial, double> Drive, double Place)
{
    /// <summary>Windows tried at most: two that point at each other would go on for ever.</summary>
    private const int MostWindows = 6;

    /// <summary>Sets out from the window around a point and goes on, as long as the feature lies nearer to another point, with the window around that one.</summary>
    /// <param name="at">Point to set out from.</param>
    /// <param name="drive">Drive of the feature as a polynomial shows it, looked for near the drive given; NaN where it does not.</param>
    /// <param name="usable">Whether a window may be used with the place that it gives; null for any.</param>
    /// <param name="degree">Of the polynomials.</param>
    /// <param name="guess">Where to look first, volts; null for the point itself.</param>
    /// <returns>Null where a window on the way does not show it, or may not be used.</returns>
    public static Feature? Find(
        Smoother smoother, int at, Func<LocalPolynomial, double, double> drive, Func<Window, double, bool>? usable = null, int degree = Smoother.Degree, double? guess = null)
    {
        var trace = smoother.Trace;
        for (var turn = 1; ; turn++)
        {
            if (smoother.At(at, degree) is not { } window) return null;
            var near = turn == 1 && guess is { } first ? first : trace.X[at];
            var place = drive(window.Fit, near);
            if (double.IsNaN(place) || usable?.Invoke(window, place) == false) return null;
            var next = trace.Nearest(Math.Clamp(place, trace.X[window.First], trace.X[window.Last]));
            if (next == at || turn == MostWindows) return new(window, at, fit => drive(fit, near), place);
            at = next;
        }
    }

    /// <summary>Its drive with the uncertainty that the scatter leaves.</summary>
    public Estimate ReadDrive() => Window.Read(Drive);

    /// <summary>Another quantity where it is, for example the value of the polynomial there.</summary>
    public Estimate Read(Func<LocalPolynomial, double, double> quantity) => Window.Read(fit => Drive(fit) is var x && double.IsNaN(x) ? x : quantity(fit, x));
}
