using SweepRig.Domain;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;

namespace SweepRig.Rigs.Simulated.Physics;

/// <summary>
/// Everything behind the microcontroller's pins: converters, supplies, sockets. The firmware reaches it as it would reach hardware: it writes the
/// DAC, switches supplies, converts channels. Time is passed in and never runs backwards.
/// </summary>
internal sealed class Bench
{
    private readonly SimulatedRigOptions _options;
    private readonly Socket[] _sockets;
    private readonly Converter[] _converters;
    private readonly DriveOutput _drive;
    private readonly NormalNoise _noise;
    private readonly NodeLag _driveLag, _gridLag, _plateLag, _screenLag;
    private readonly double _humRadiansPerMicrosecond;
    private readonly double _humPhase;
    private readonly Dictionary<RigWiring, Wired> _solvers = [];
    private readonly Queue<long> _taps = new();

    private Relaxation _rail = new(0);
    private double _driveFault;
    private Wired _wiring;
    private int _socket;
    private int _code;
    private bool _heaterOn;
    private double _heaterVolts;
    private long _steppedAt = long.MinValue / 2;
    private double _driveFrom, _driveTo;
    private RestingPoint _from, _to;
    private StepExcess _excess;

    public Bench(SimulatedRigOptions options)
    {
        options.ThrowIfBad();
        _options = options;
        var errors = new Random(options.Seed);
        double Error(double most) => (2 * errors.NextDouble() - 1) * most;
        _drive = new(options.Drive, 1 + Error(options.GainError), Error(options.OffsetErrorVolts));
        _converters = [.. options.Channels.Select(c => new Converter(c, 1 + Error(options.GainError), Error(options.OffsetErrorVolts), options.BowVolts, options.NoiseVolts))];
        _humPhase = errors.NextDouble() * 2 * Math.PI;
        _noise = new(options.Seed ^ 0x5EED);
        _humRadiansPerMicrosecond = 2 * Math.PI * options.HumHertz / 1e6;
        var settling = options.Settling;
        _driveLag = new(settling.DriveMicroseconds, 0);
        _gridLag = new(settling.DriveMicroseconds, settling.GridMicroseconds);
        _plateLag = new(settling.DriveMicroseconds, settling.PlateMicroseconds);
        _screenLag = new(settling.DriveMicroseconds, settling.ScreenMicroseconds);
        _sockets = [.. options.Tubes.Select((t, i) => NewSocket(i, t, (i < options.Behaviours.Count ? options.Behaviours[i] : null) ?? TubeBehaviour.None))];
        _wiring = SolverFor(DefaultWiring);
        Faults = options.Faults;
        _driveTo = _driveFrom = DriveVolts(0, 0);
        Present.Refresh(0, 0, _wiring, 0, 0);
        _to = _from = Present.At(0, _driveTo);
    }

    /// <summary>Wiring until a program says otherwise.</summary>
    public static RigWiring DefaultWiring { get; } = new(ConnectionKind.Pentode, 10_000, 100, 4_700);

    public IReadOnlyList<SimulatedFault> Faults { get; set; }

    private Socket Present => _sockets[_socket];

    public double KelvinAt(long now) => Present.KelvinAt(now);

    public bool EmergencyStopPressed(long now) => Fault<SimulatedFault.EmergencyStop>(now) is not null;

    public void WriteDrive(long now, int code)
    {
        Follow(now);
        _code = code;
        StepTo(now);
    }

    public void SwitchHeater(long now, bool on, double volts)
    {
        (_heaterOn, _heaterVolts) = (on, on ? volts : 0);
        foreach (var socket in _sockets) socket.Heat(now, on ? volts : 0);
    }

    public void SwitchRail(long now, bool on, double volts)
    {
        var settling = _options.Settling;
        _rail.SetOut(now, on ? volts : 0, on ? settling.RailRiseMicroseconds : settling.RailFallMicroseconds);
    }

    public void SelectSocket(long now, int socket)
    {
        if (socket == _socket) return;
        _socket = socket;
        Present.Refresh(now, RailAt(now), _wiring, 0, 0);
        StepTo(now);
    }

    /// <summary>Another tube in a socket, cold as it comes; null for none. The heaters go on as they are.</summary>
    public void Seat(long now, int socket, Specimen? tube)
    {
        Follow(now);
        _sockets[socket] = NewSocket(socket, tube?.Parameters, tube?.Behaviour ?? TubeBehaviour.None);
        _sockets[socket].Heat(now, _heaterVolts);
        if (socket != _socket) return;
        Present.Refresh(now, RailAt(now), _wiring, 0, 0);
        StepTo(now);
    }

    public void Wire(long now, RigWiring wiring)
    {
        _wiring = SolverFor(wiring);
        Follow(now);
    }

    /// <summary>Knocks on the bulb in the socket in use, at times from now on.</summary>
    public void Tap(IEnumerable<long> times)
    {
        var all = _taps.Concat(times).Order().ToArray();
        _taps.Clear();
        foreach (var time in all) _taps.Enqueue(time);
    }

    /// <summary>One conversion of one channel.</summary>
    public int Convert(long now, RigChannel channel)
    {
        var noise = 0.0;
        if (Faults.Count > 0)
        {
            foreach (var fault in Faults)
                if (fault is SimulatedFault.ChannelStuck stuck && stuck.Channel == channel && fault.IsPresent(now)) return stuck.Code;
            if (Fault<SimulatedFault.Noise>(now) is { } noisy) noise = noisy.Volts * _noise.Next();
        }
        return _converters[(int)channel].Convert(VoltsAt(now, channel) + noise, _noise);
    }

    /// <summary>True voltages of the pins when the last sample was taken, for a meter beside the rig. Read from any thread.</summary>
    public double[] TrueVolts { get; } = new double[RigChannels.Count];

    public void KeepTrueVolts(long now)
    {
        foreach (var channel in RigChannels.All) Volatile.Write(ref TrueVolts[(int)channel], VoltsAt(now, channel));
    }

    /// <summary>True voltage of a channel.</summary>
    public double VoltsAt(long now, RigChannel channel)
    {
        Follow(now);
        double elapsed = now - _steppedAt;
        switch (channel)
        {
            case RigChannel.Plate:
                return Mix(_from.Plate, _to.Plate + _excess.Plate * _excess.Left(elapsed), _plateLag.Remaining(elapsed)) + _to.PlateHum * Effective(now);
            case RigChannel.Grid:
                return Mix(_from.Grid, _to.Grid + _excess.Grid * _excess.Left(elapsed), _gridLag.Remaining(elapsed)) + _to.GridHum * Effective(now);
            case RigChannel.Screen:
                return Mix(_from.Screen, _to.Screen + _excess.Screen * _excess.Left(elapsed), _screenLag.Remaining(elapsed)) + _to.ScreenHum * Effective(now);
            case RigChannel.Supply:
                return RailAt(now);
            case RigChannel.Drive:
                return Mix(_driveFrom, _driveTo, _driveLag.Remaining(elapsed)) + (Fault<SimulatedFault.ReadBackOff>(now)?.Volts ?? 0);
            default:
                throw new ArgumentOutOfRangeException(nameof(channel), channel, "SweepRig bug: no such channel.");
        }
    }

    private static double Mix(double from, double to, double remaining) => remaining == 0 ? to : to + (from - to) * remaining;

    /// <summary>All that acts on the effective grid voltage besides the drive: hum of the heater, ringing, wandering, running away.</summary>
    private double Effective(long now)
    {
        var hum = _options.HumVolts + Present.HumVolts;
        return (_heaterOn && hum > 0 ? hum * Math.Sin(_humRadiansPerMicrosecond * now + _humPhase) : 0) + Present.EffectiveVoltsAt(now)
            + (Faults.Count > 0 && Fault<SimulatedFault.Runaway>(now) is { } runs ? runs.VoltsPerSecond * (now - runs.FromMicroseconds) * 1e-6 : 0);
    }

    private double RailAt(long now)
    {
        var rail = _rail.At(now);
        if (Faults.Count > 0 && _rail.Target > 0) rail += Fault<SimulatedFault.SupplyOff>(now)?.Volts ?? 0;
        return Math.Max(0, rail);
    }

    private double DriveVolts(long now, int code) => _drive.ToVolts(code) + DriveFault(now, code);

    private double DriveFault(long now, int code) => Faults.Count == 0 ? 0
        : Fault<SimulatedFault.DriveStuck>(now) is { } stuck ? _drive.ToVolts(stuck.Code) - _drive.ToVolts(code)
        : Fault<SimulatedFault.DriveOff>(now)?.Volts ?? 0;

    // Rail or cathode have moved by themselves, both far slower than any pin: the pins go with them, and what is left of a step stays as it was.
    private void Follow(long now)
    {
        while (_taps.Count > 0 && _taps.Peek() <= now) Present.Tap(_taps.Dequeue());
        var moved = Present.Refresh(now, RailAt(now), _wiring, _to.CathodeCurrent, _to.Grid > 0 ? _to.Grid * _wiring.GridAmps(_driveTo, _to.Grid) : 0);
        var fault = DriveFault(now, _code);
        if (fault != _driveFault)
        {
            _driveFault = fault;
            Present.Forget();
            StepTo(now);
        }
        else if (moved)
        {
            var was = _to;
            _to = Present.At(_code, _driveTo);
            _from = _from with
            {
                Grid = _from.Grid + _to.Grid - was.Grid,
                Plate = _from.Plate + _to.Plate - was.Plate,
                Screen = _from.Screen + _to.Screen - was.Screen,
            };
        }
    }

    private void StepTo(long now)
    {
        double elapsed = now - _steppedAt;
        var left = _excess.Left(elapsed);
        var cathodeWas = _to.Cathode + _excess.CathodeVolts * left;
        _driveFrom = Mix(_driveFrom, _driveTo, _driveLag.Remaining(elapsed));
        _from = _from with
        {
            Grid = Mix(_from.Grid, _to.Grid + _excess.Grid * left, _gridLag.Remaining(elapsed)),
            Plate = Mix(_from.Plate, _to.Plate + _excess.Plate * left, _plateLag.Remaining(elapsed)),
            Screen = Mix(_from.Screen, _to.Screen + _excess.Screen * left, _screenLag.Remaining(elapsed)),
        };
        _driveTo = DriveVolts(now, _code);
        _to = Present.At(_code, _driveTo);
        _excess = Present.ExcessAt(_to, _driveTo, cathodeWas);
        _steppedAt = now;
    }

    private Socket NewSocket(int number, TubeParameters? tube, TubeBehaviour behaviour) =>
        new(tube, behaviour, _options.Settling.CathodeMicroseconds / _options.HeaterSpeed, _options.Drive.MaxCode + 1, _options.Seed + 7919 * number);

    private Wired SolverFor(RigWiring wiring) =>
        _solvers.TryGetValue(wiring, out var known) ? known : _solvers[wiring] = new(wiring);

    /// <summary>A fault of that kind that is present.</summary>
    public T? Fault<T>(long now)
        where T : SimulatedFault
    {
        foreach (var fault in Faults)
            if (fault is T found && found.IsPresent(now)) return found;
        return null;
    }
}
