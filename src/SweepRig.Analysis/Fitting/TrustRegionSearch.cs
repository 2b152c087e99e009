namespace SweepRig.Analysis.Fitting;

/// <summary>The point under way of one fit, with all its work space: linearized once, tried with steps of several lengths.</summary>
internal sealed class TrustRegionSearch
{
    private readonly ILeastSquaresProblem _problem;
    private readonly Bounds _bounds;
    private readonly FitOptions _options;
    private readonly int _n, _m;
    private double[] _point, _trial, _residuals, _trialResiduals;
    private readonly double[] _jacobian, _turned, _triangle, _scale, _gradient, _low, _high;
    private readonly bool[] _free;
    private readonly SecularStep _secular;
    private readonly BoxedStep _boxed;

    public TrustRegionSearch(ILeastSquaresProblem problem, Bounds bounds, double[] point, FitOptions options)
    {
        (_problem, _bounds, _point, _options) = (problem, bounds, point, options);
        _n = problem.ParameterCount;
        _m = Math.Max(problem.ResidualCount, _n);
        _trial = new double[_n];
        _residuals = new double[problem.ResidualCount];
        _trialResiduals = new double[problem.ResidualCount];
        _jacobian = new double[_m * _n];
        _turned = new double[_m];
        _triangle = new double[_n * _n];
        _scale = new double[_n];
        _gradient = new double[_n];
        _low = new double[_n];
        _high = new double[_n];
        _free = new bool[_n];
        _secular = new(_n);
        _boxed = new(_n);
    }

    public double Sum { get; private set; } = double.NaN;

    public double TrialSum { get; private set; }

    public int Steps { get; private set; }

    /// <summary>Length of the point in scaled variables.</summary>
    public double ScaledLength
    {
        get
        {
            double sum = 0;
            for (var j = 0; j < _n; j++) sum += _scale[j] * _point[j] * (_scale[j] * _point[j]);
            return Math.Sqrt(sum);
        }
    }

    public double FirstRadius()
    {
        var length = ScaledLength;
        return _options.FirstRadius * (length > 0 ? length : 1);
    }

    /// <summary>Residuals and derivatives at the point; false where there are none.</summary>
    public bool Linearize()
    {
        Steps++;
        if (!_problem.Evaluate(_point, _residuals, _jacobian) || !Vectors.AllFinite(_residuals) || !Vectors.AllFinite(_jacobian)) return false;
        Sum = Vectors.Dot(_residuals, _residuals);
        for (var j = 0; j < _n; j++)
        {
            var column = _jacobian.AsSpan(j * _m, _m);
            _gradient[j] = Vectors.Dot(column, _residuals);
            _scale[j] = _options.Reach is { } reach ? 1 / reach[j] : Math.Max(_scale[j], Vectors.Length(column));
            _free[j] = !_bounds.Holds(j, _point[j], _gradient[j]);
        }
        _bounds.Room(_point, _low, _high);
        _residuals.CopyTo(_turned, 0);
        HouseholderQr.Reduce(_jacobian, _m, _turned, _triangle);
        _secular.Prepare(_triangle, _turned, _scale, _free);
        return true;
    }

    /// <summary>The best step of the linear model within the radius and the bounds.</summary>
    public ProposedStep Propose(double radius)
    {
        Span<double> step = stackalloc double[_n];
        var lambda = _secular.Find(radius, step);
        var inside = true;
        for (var j = 0; j < _n; j++)
        {
            step[j] = _free[j] && _scale[j] > 0 ? step[j] / _scale[j] : 0;
            inside &= step[j] >= _low[j] && step[j] <= _high[j];
        }
        if (!inside) _boxed.Find(new(_triangle, _turned.AsSpan(0, _n), _scale, lambda), _low, _high, _free, step);
        double along = 0, length = 0;
        Span<double> linear = stackalloc double[_n];
        linear.Clear();
        for (var j = 0; j < _n; j++)
        {
            _trial[j] = _point[j] + step[j];
            length += _scale[j] * step[j] * (_scale[j] * step[j]);
            Vectors.Add(step[j], _triangle.AsSpan(j * _n, _n), linear);
        }
        _bounds.Clamp(_trial);
        // |r|^2 - |r + J p|^2 = -(2 q^T R p + |R p|^2), q being the turned residuals.
        for (var i = 0; i < _n; i++) along += linear[i] * (2 * _turned[i] + linear[i]);
        return new(-along, Math.Sqrt(length), lambda == 0);
    }

    public bool Try()
    {
        if (!_problem.Evaluate(_trial, _trialResiduals, []) || !Vectors.AllFinite(_trialResiduals)) return false;
        TrialSum = Vectors.Dot(_trialResiduals, _trialResiduals);
        return double.IsFinite(TrialSum);
    }

    public void Accept()
    {
        (_point, _trial) = (_trial, _point);
        (_residuals, _trialResiduals) = (_trialResiduals, _residuals);
        Sum = TrialSum;
    }

    /// <summary>Takes the last step and ends there, with the derivatives of that very point.</summary>
    public Fit Polished()
    {
        Accept();
        return End(Linearize() ? FitStatus.Converged : FitStatus.Stuck);
    }

    public Fit End(FitStatus status)
    {
        var known = status is not (FitStatus.NoValueAtStart or FitStatus.TooFewPoints);
        if (!known) Array.Fill(_residuals, double.NaN);
        var free = _free.Count(f => f);
        return new(
            status, _point, _residuals, known ? Sum : double.NaN, _problem.ResidualCount - free, Steps,
            [.. Enumerable.Range(0, _n).Select(j => _bounds.IsAt(j, _point[j]))],
            known ? new JacobianDecomposition(_triangle, _free, _options.RankTolerance) : null);
    }
}
