using System.Globalization;
using SweepRig.Analysis.Fitting;

namespace SweepRig.Analysis.Tests.Fitting.Nist;

/// <summary>One nonlinear problem of the NIST Statistical Reference Datasets, read from its original text.</summary>
internal sealed class NistProblem : ILeastSquaresProblem
{
    private readonly NistModel _model;
    private readonly double[][] _x;
    private readonly double[] _y;

    private NistProblem(string name, string[] lines)
    {
        Name = name;
        _model = NistModels.Of(name);
        var rows = lines.SkipWhile(l => !l.StartsWith("  b1 =", StringComparison.Ordinal)).TakeWhile(l => l.Contains('=', StringComparison.Ordinal))
            .Select(l => Numbers(l[(l.IndexOf('=', StringComparison.Ordinal) + 1)..])).ToArray();
        Starts = [[.. rows.Select(r => r[0])], [.. rows.Select(r => r[1])]];
        Certified = [.. rows.Select(r => r[2])];
        Deviations = [.. rows.Select(r => r[3])];
        SumOfSquares = Number(lines.First(l => l.StartsWith("Residual Sum of Squares:", StringComparison.Ordinal))[25..]);
        // The second line that begins with "Data:" heads the table.
        var table = lines.SkipWhile(l => !l.StartsWith("Residual Sum", StringComparison.Ordinal)).SkipWhile(l => !l.StartsWith("Data:", StringComparison.Ordinal)).Skip(1)
            .Where(l => l.Trim().Length > 0).Select(Numbers).ToArray();
        // Nelson's problem alone is stated for the logarithm of the response.
        _y = [.. table.Select(r => name == "Nelson" ? Math.Log(r[0]) : r[0])];
        _x = [.. table.Select(r => r[1..])];
    }

    public static IReadOnlyList<string> Names { get; } =
    [
        "Bennett5", "BoxBOD", "Chwirut1", "Chwirut2", "DanWood", "ENSO", "Eckerle4", "Gauss1", "Gauss2", "Gauss3", "Hahn1", "Kirby2", "Lanczos1", "Lanczos2",
        "Lanczos3", "MGH09", "MGH10", "MGH17", "Misra1a", "Misra1b", "Misra1c", "Misra1d", "Nelson", "Rat42", "Rat43", "Roszman1", "Thurber",
    ];

    public string Name { get; }
    public double[][] Starts { get; }
    public double[] Certified { get; }
    public double[] Deviations { get; }
    public double SumOfSquares { get; }
    public int ParameterCount => Certified.Length;
    public int ResidualCount => _y.Length;
    public IReadOnlyList<double[]> X => _x;
    public IReadOnlyList<double> Y => _y;

    public static NistProblem Read(string name) =>
        new(name, File.ReadAllLines(Path.Combine(AppContext.BaseDirectory, "Fitting", "Nist", "nonlinear", name + ".dat")));

    public bool Evaluate(ReadOnlySpan<double> parameters, Span<double> residuals, Span<double> jacobian)
    {
        Span<double> gradient = stackalloc double[ParameterCount];
        for (var i = 0; i < _y.Length; i++)
        {
            residuals[i] = _model(_x[i], parameters, gradient) - _y[i];
            for (var j = 0; j < ParameterCount && !jacobian.IsEmpty; j++) jacobian[j * _y.Length + i] = gradient[j];
        }
        return true;
    }

    /// <summary>Digits to which two numbers agree: -log10 of the relative difference (log relative error), at most 15.</summary>
    public static double Digits(double value, double certified) =>
        value == certified ? 15 : Math.Min(15, -Math.Log10(Math.Abs(value - certified) / Math.Abs(certified)));

    private static double[] Numbers(string line) => [.. line.Split([' ', '\t'], StringSplitOptions.RemoveEmptyEntries).Select(Number)];

    private static double Number(string text) => double.Parse(text, NumberStyles.Float, CultureInfo.InvariantCulture);
}
