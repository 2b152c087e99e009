using SweepRig.Domain;
using SweepRig.Domain.Runs;

namespace SweepRig.Rigs.Control;

/// <summary>One pass, run by the rig's own clock: step, dwell, settle, average, next point.</summary>
/// <remarks>
/// Time of a point = dwell + settling + conversions, with nothing in between. A plain average of n conversions of c channels takes n c t (t is the time of one
/// conversion). Over p whole mains periods of f Hz it takes round(10^6 p / f) microseconds, in as many rounds of all channels as fit, evenly spread,
/// so that a sine of the mains frequency sums to nothing. During the dwell all channels are converted in turn for the limits alone.
/// </remarks>
internal sealed class ProgramRun
{
    private readonly RigProgram _program;
    private readonly IPassHost _host;
    private readonly int _conversion;
    private readonly RigChannel[] _channels;
    private readonly Averager _averager;
    private readonly int _rounds;
    private readonly long _span;

    private Phase _phase = Phase.Step;
    private int _segment, _step, _watched;
    private int _code;
    private long _dwellEnd, _averageStart, _lastConversion;
    private int _round, _inRound;
    private int _previousPlate;
    private bool _settled;

    public ProgramRun(RigProgram program, IPassHost host, Averager averager, int conversionMicroseconds, long now)
    {
        _program = program;
        _host = host;
        _averager = averager;
        _conversion = conversionMicroseconds;
        _channels = [.. RigChannels.All.Where(c => (program.ChannelMask & (1 << (int)c)) != 0)];
        var round = (long)_channels.Length * conversionMicroseconds;
        var timing = program.Timing;
        _span = timing.MainsPeriods > 0 ? MainsMicroseconds(timing) : timing.Conversions * round;
        _rounds = (int)(_span / round);
        DueAt = now;
    }

    private enum Phase
    {
        Step,
        Dwell,
        Settle,
        Average,
        Ended,
    }

    /// <summary>When there is something to do next.</summary>
    public long DueAt { get; private set; }

    public int Pass => _program.Pass;

    public int CeilingCode => _program.CeilingCode;

    /// <summary>Whole mains periods in microseconds, to the nearest.</summary>
    public static long MainsMicroseconds(RigTiming timing) => (2_000_000L * timing.MainsPeriods + timing.MainsHertz) / (2L * timing.MainsHertz);

    /// <summary>Does what is due.</summary>
    /// <param name="now"><see cref="DueAt"/>, or later where the clock is not the rig's to stop: what was missed is made up for, never skipped.</param>
    public void Act(long now)
    {
        switch (_phase)
        {
            case Phase.Step:
                BeginPoint(now);
                break;
            case Phase.Dwell:
                Dwell(now);
                break;
            case Phase.Settle:
                Settle(now);
                break;
            case Phase.Average:
                Average(now);
                break;
            default:
                throw new InvalidOperationException("SweepRig bug: an ended program was asked to go on.");
        }
    }

    private void BeginPoint(long now)
    {
        _code = _program.Segments[_segment].CodeAt(_step);
        _host.Step(ref now, _code);
        _dwellEnd = now + _program.Timing.DwellMicroseconds;
        _lastConversion = now;
        _phase = Phase.Dwell;
        NextInDwell();
    }

    private void NextInDwell() => DueAt = Math.Min(_lastConversion + _conversion, _dwellEnd);

    private void Dwell(long now)
    {
        if (_lastConversion + _conversion <= Math.Min(now, _dwellEnd))
        {
            _ = _host.Convert(ref now, RigChannels.All[_watched]);
            _lastConversion = now;
            _watched = (_watched + 1) % RigChannels.Count;
        }
        if (now < _dwellEnd)
        {
            NextInDwell();
            return;
        }
        _settled = true;
        if (_program.Timing.SettleToleranceCodes == 0)
        {
            BeginAverage(now);
            return;
        }
        _settled = false;
        _previousPlate = -1;
        _phase = Phase.Settle;
        NextInSettling(now);
    }

    private void NextInSettling(long now)
    {
        if (now + _conversion > _dwellEnd + _program.Timing.SettleTimeoutMicroseconds) BeginAverage(now);
        else DueAt = now + _conversion;
    }

    private void Settle(long now)
    {
        var plate = _host.Convert(ref now, RigChannel.Plate);
        _settled = _previousPlate >= 0 && Math.Abs(plate - _previousPlate) <= _program.Timing.SettleToleranceCodes;
        _previousPlate = plate;
        if (_settled) BeginAverage(now);
        else NextInSettling(now);
    }

    private void BeginAverage(long now)
    {
        _averager.Clear();
        _averageStart = now;
        _round = 0;
        _inRound = 0;
        _phase = Phase.Average;
        NextInAverage();
    }

    private void NextInAverage() => DueAt = _round < _rounds
        ? _averageStart + _span * _round / _rounds + (long)(_inRound + 1) * _conversion
        : _averageStart + _span;

    private void Average(long now)
    {
        if (_round < _rounds)
        {
            var channel = _channels[_inRound];
            _averager.Add(channel, _host.Convert(ref now, channel));
            if (++_inRound == _channels.Length)
            {
                _inRound = 0;
                _round++;
            }
            NextInAverage();
            if (_round < _rounds || DueAt > now) return;
        }
        EndPoint(now);
    }

    private void EndPoint(long now)
    {
        var flags = _averager.Flags | (_settled ? SampleFlags.Settled : SampleFlags.None);
        _host.Deliver(new(
            _program.Segments[_segment].FirstPoint + _step, now, _code, flags, _rounds, _averager.Spread,
            _averager.Mean(RigChannel.Plate), _averager.Mean(RigChannel.Grid), _averager.Mean(RigChannel.Screen),
            _averager.Mean(RigChannel.Supply), _averager.Mean(RigChannel.Drive)));
        DueAt = now;
        _phase = Phase.Step;
        if (++_step < _program.Segments[_segment].Points) return;
        _step = 0;
        if (++_segment < _program.Segments.Count) return;
        _phase = Phase.Ended;
        DueAt = long.MaxValue;
        _host.Complete(now);
    }
}
