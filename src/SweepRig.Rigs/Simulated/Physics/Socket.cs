using SweepRig.Domain.Quantities;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;

namespace SweepRig.Rigs.Simulated.Physics;

/// <summary>A socket with its tube: cathode temperature, and the resting voltages of its pins in the fixture.</summary>
/// <remarks>
/// Solving the fixture costs microseconds, a conversion tens of nanoseconds. Resting points are therefore kept for each drive code, and thrown away
/// only when the cathode has moved by <see cref="NoticeableKelvin"/>, the rail by <see cref="NoticeableVolts"/>, a resistance in the cathode, or the wiring at all.
/// The response to what acts on the effective grid voltage (hum, ringing, wandering) is linear: one more solution with the grid offset moved a little.
/// </remarks>
internal sealed class Socket
{
    // 0.1 K moves the emission by about 0.13 % (Richardson's law at 1050 K and 1.05 eV), which is a tenth of a step of the plate converter even
    // for a tube that is short of emission.
    private const double NoticeableKelvin = 0.1;
    private const double NoticeableVolts = 20e-6;
    private const double NoticeablePart = 0.01;

    // Of the emission: moves the contact potential by 20 uV.
    private const double NoticeableEmission = 2e-4;
    private const double HumStep = 1e-3;

    /// <summary>A cathode above this emits.</summary>
    private const double HotKelvin = 700;

    private readonly TubeParameters? _tube;
    private readonly TubeBehaviour _behaviour;
    private readonly double _tau;
    private readonly RestingPoint[] _points;
    private readonly int[] _solvedIn;
    private readonly ShuntNetwork _shunts;
    private readonly SlowWander _wander;
    private readonly ContactState _contact;
    private readonly Ringing _ringing;
    private readonly InterfaceLayer _layer;
    private readonly CathodeHealth _health;
    private readonly bool _plain;

    private int _generation = 1;
    private Relaxation _kelvin = new(TubeModel.AmbientKelvin);
    private TubeModel? _model;
    private TubeModel? _humModel;
    private FixturePoint _last;
    private FaultyPoint _lastFaulty;
    private double _rail = double.NaN;
    private double _contactOhms, _layerOhms;
    private Wired? _wiring;
    private TubeParameters? _present;
    private double _emission = 1;
    private long? _switchedOnAt;

    public Socket(TubeParameters? tube, TubeBehaviour behaviour, double cathodeTauMicroseconds, int codes, int seed)
    {
        _tube = tube;
        _behaviour = behaviour;
        _tau = cathodeTauMicroseconds * behaviour.WarmUpFactor;
        _points = new RestingPoint[codes];
        _solvedIn = new int[codes];
        _shunts = ShuntNetwork.Of(behaviour.Shunts);
        _wander = new(behaviour.WanderVolts, behaviour.WanderSeconds, new(seed ^ 0x3A4D));
        _contact = new(behaviour.Contact, seed ^ 0xC0C7);
        _ringing = new(behaviour.Microphony);
        _layer = new(behaviour.Interface);
        _health = new(behaviour.Poisoning, behaviour.Wear);
        _present = tube;
        _layerOhms = _layer.Ohms;
        _plain = _shunts.IsEmpty && behaviour.Contact is null && behaviour.Interface is null;
    }

    /// <summary>Amplitude at mains frequency that this tube adds on its effective grid voltage, V.</summary>
    public double HumVolts => _behaviour.HumVolts;

    private double CathodeOhms => _contactOhms + _layerOhms;

    public double KelvinAt(long now) => _kelvin.At(now);

    /// <summary>Heats towards the temperature of a heater voltage; 0 cools.</summary>
    public void Heat(long now, double heaterVolts)
    {
        if (_tube is null || _behaviour.HeaterOpen) return;
        _health.Pass(now, _kelvin.At(now) > HotKelvin, 0);
        if (heaterVolts > 0 && _kelvin.Target <= TubeModel.AmbientKelvin)
        {
            _health.SwitchOn();
            _switchedOnAt = now;
        }
        if (_health.HeaterBroken) heaterVolts = 0;
        var target = heaterVolts > 0 ? TubeModel.FinalKelvin(_tube, new Volts(heaterVolts)) : TubeModel.AmbientKelvin;
        _kelvin.SetOut(now, target, _tau);
    }

    /// <summary>A knock on the bulb.</summary>
    public void Tap(long now)
    {
        _ringing.Tap(now);
        _contact.Tap(now);
    }

    /// <summary>What wanders and rings on the effective grid voltage, V.</summary>
    public double EffectiveVoltsAt(long now) => _wander.At(now) + _ringing.VoltsAt(now) + SettlingAt(now);

    /// <summary>Takes up the present temperature, rail, contact and wiring; true if resting points have moved.</summary>
    /// <param name="restingAmps">Cathode current since the last call, for what grows with it.</param>
    /// <param name="gridWatts">Power of grid 1 since the last call.</param>
    public bool Refresh(long now, double rail, Wired wiring, double restingAmps, double gridWatts)
    {
        var moved = false;
        if (_tube is not null)
        {
            var kelvin = _kelvin.At(now);
            if (Math.Abs(kelvin - _kelvin.Target) < NoticeableKelvin / 4) kelvin = _kelvin.Target;
            if (_health.Changes && Aged(now, kelvin, gridWatts)) _model = null;
            if (_model is null || Math.Abs(_model.TemperatureKelvin - kelvin) > NoticeableKelvin || (kelvin == _kelvin.Target && _model.TemperatureKelvin != kelvin))
            {
                _model = TubeModel.AtTemperature(_present!, kelvin);
                _humModel = TubeModel.AtTemperature(_present! with { GridOffset = _present!.GridOffset + HumStep }, kelvin);
                moved = true;
            }
            moved |= !_plain && RefreshCathode(now, kelvin, restingAmps);
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

    /// <summary>What stands above the resting point right after a step, while the interface's capacitance holds the cathode where it was.</summary>
    public StepExcess ExcessAt(in RestingPoint rest, double drive, double cathodeWas)
    {
        if (_model is null || _layer.Farads == 0 || _layerOhms == 0) return default;
        var change = rest.Cathode - cathodeWas;
        if (Math.Abs(change) < 1e-6) return default;
        var held = _wiring!.Faulty.Solve(_model, _shunts, CathodeOhms, cathodeWas, drive, _rail, _lastFaulty);
        if (!held.IsSolved) return default;
        // C dV/dt = I - V/R: an exponential that starts with the present current and ends at rest.
        var charging = held.CathodeCurrent - cathodeWas / CathodeOhms;
        var tau = charging == 0 ? 0 : 1e6 * _layer.Farads * change / charging;
        return tau <= 0 ? default : new(held.Grid - rest.Grid, held.Screen - rest.Screen, held.Plate - rest.Plate, cathodeWas - rest.Cathode, tau);
    }

    private double SettlingAt(long now) => _behaviour.Settling is { } settling && _switchedOnAt is { } since
        ? settling.Volts * Math.Exp(-(now - since) * 1e-6 / settling.Seconds)
        : 0;

    private bool Aged(long now, double kelvin, double gridWatts)
    {
        _health.Pass(now, kelvin > HotKelvin, gridWatts);
        if (Math.Abs(_health.Emission / _emission - 1) < NoticeableEmission) return false;
        _emission = _health.Emission;
        _present = TubeAge.WithEmission(_tube!, _emission);
        return true;
    }

    private bool RefreshCathode(long now, double kelvin, double restingAmps)
    {
        _layer.Pass(now, kelvin > HotKelvin, restingAmps);
        var contact = _contact.OhmsAt(now);
        if (contact == _contactOhms && Math.Abs(_layer.Ohms - _layerOhms) <= NoticeablePart * _layerOhms + 0.1) return false;
        (_contactOhms, _layerOhms) = (contact, _layer.Ohms);
        return true;
    }

    private RestingPoint Solve(double drive)
    {
        if (_model is null || _humModel is null) return new(drive, _rail, _rail, 0, 0, 0);
        return _plain ? SolveSound(_model, _humModel, drive) : SolveFaulty(_model, _humModel, drive);
    }

    private RestingPoint SolveSound(TubeModel model, TubeModel moved, double drive)
    {
        var point = _wiring!.Sound.Solve(model, drive, _rail, _last);
        if (!point.IsSolved) point = _wiring.Sound.Solve(model, drive, _rail);
        if (!point.IsSolved) throw NoSolution(drive);
        _last = point;
        var hum = _wiring.Sound.Solve(moved, drive, _rail, point);
        return new(
            point.Grid, point.Screen, point.Plate,
            (hum.Grid - point.Grid) / HumStep, (hum.Screen - point.Screen) / HumStep, (hum.Plate - point.Plate) / HumStep, 0, point.CathodeCurrent);
    }

    private RestingPoint SolveFaulty(TubeModel model, TubeModel moved, double drive)
    {
        var point = _wiring!.Faulty.Solve(model, _shunts, CathodeOhms, null, drive, _rail, _lastFaulty);
        if (!point.IsSolved) throw NoSolution(drive);
        _lastFaulty = point;
        var hum = _wiring.Faulty.Solve(moved, _shunts, CathodeOhms, null, drive, _rail, point);
        if (!hum.IsSolved) hum = point;
        return new(
            point.Grid, point.Screen, point.Plate,
            (hum.Grid - point.Grid) / HumStep, (hum.Screen - point.Screen) / HumStep, (hum.Plate - point.Plate) / HumStep, point.Cathode, point.CathodeCurrent);
    }

    private InvalidOperationException NoSolution(double drive) =>
        new(FormattableString.Invariant($"SweepRig bug: the fixture has no solution at {drive} V drive, {_rail} V rail, {_model!.TemperatureKelvin} K."));
}
