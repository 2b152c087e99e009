using SweepRig.Domain.Quantities;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Rigs.Simulated.Physics;

/// <summary>A socket with its tube: cathode temperature, and the resting voltages of its pins in the fixture.</summary>
/// <remarks>
/// Solving the fixture costs microseconds, a conversion tens of nanoseconds. Resting points are therefore kept for each drive code, and thrown away
/// only when the cathode has moved by <see cref="NoticeableKelvin"/>, the rail by <see cref="NoticeableVolts"/>, or the wiring at all. The response to
/// hum is linear: one more solution with the grid offset moved a little.
/// </remarks>
internal sealed class Socket(TubeParameters? tube, double cathodeTauMicroseconds, int codes)
{
    // 0.1 K moves the emission by about 0.13 % (Richardson's law at 1050 K and 1.05 eV), which is a tenth of a step of the plate converter even
    // for a tube that is short of emission.
    private const double NoticeableKelvin = 0.1;
    private const double NoticeableVolts = 20e-6;
    private const double HumStep = 1e-3;

    private readonly RestingPoint[] _points = new RestingPoint[codes];
    private readonly int[] _solvedIn = new int[codes];
    private int _generation = 1;
    private Relaxation _kelvin = new(TubeModel.AmbientKelvin);
    private TubeModel? _model;
    private TubeModel? _humModel;
    private FixturePoint _last;
    private double _rail = double.NaN;
    private FixtureSolver? _wiring;

    public double KelvinAt(long now) => _kelvin.At(now);

    /// <summary>Heats towards the temperature of a heater voltage; 0 cools.</summary>
    public void Heat(long now, double heaterVolts)
    {
        if (tube is null) return;
        var target = heaterVolts > 0 ? TubeModel.FinalKelvin(tube, new Volts(heaterVolts)) : TubeModel.AmbientKelvin;
        _kelvin.SetOut(now, target, cathodeTauMicroseconds);
    }

    /// <summary>Takes up the present temperature, rail and wiring; true if resting points have moved.</summary>
    public bool Refresh(long now, double rail, FixtureSolver wiring)
    {
        var moved = false;
        if (tube is not null)
        {
            var kelvin = _kelvin.At(now);
            if (Math.Abs(kelvin - _kelvin.Target) < NoticeableKelvin / 4) kelvin = _kelvin.Target;
            if (_model is null || Math.Abs(_model.TemperatureKelvin - kelvin) > NoticeableKelvin || (kelvin == _kelvin.Target && _model.TemperatureKelvin != kelvin))
            {
                _model = TubeModel.AtTemperature(tube, kelvin);
                _humModel = TubeModel.AtTemperature(tube with { GridOffset = tube.GridOffset + HumStep }, kelvin);
                moved = true;
            }
        }
        if (!(Math.Abs(rail - _rail) <= NoticeableVolts))
        {
            _rail = rail;
            moved = true;
        }
        if (!ReferenceEquals(wiring, _wiring))
        {
            _wiring = wiring;
            moved = true;
        }
        if (moved) _generation++;
        return moved;
    }

    /// <summary>Throws the resting points away: the drive of a code has changed.</summary>
    public void Forget() => _generation++;

    /// <summary>Resting point at a drive. <see cref="Refresh"/> must have been called.</summary>
    public RestingPoint At(int code, double driveVolts)
    {
        if (_solvedIn[code] == _generation) return _points[code];
        _solvedIn[code] = _generation;
        return _points[code] = Solve(driveVolts);
    }

    private RestingPoint Solve(double drive)
    {
        if (_model is null || _humModel is null) return new(drive, _rail, _rail, 0, 0, 0);
        var point = _wiring!.Solve(_model, drive, _rail, _last);
        if (!point.IsSolved) point = _wiring.Solve(_model, drive, _rail);
        if (!point.IsSolved)
            throw new InvalidOperationException(FormattableString.Invariant($"SweepRig bug: the fixture has no solution at {drive} V drive, {_rail} V rail, {_model.TemperatureKelvin} K."));
        _last = point;
        var hum = _wiring.Solve(_humModel, drive, _rail, point);
        return new(
            point.Grid, point.Screen, point.Plate,
            (hum.Grid - point.Grid) / HumStep, (hum.Screen - point.Screen) / HumStep, (hum.Plate - point.Plate) / HumStep);
    }
}
