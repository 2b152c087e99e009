using SweepRig.Tubes.Lots;

namespace SweepRig.Rigs.Simulated.Physics;

/// <summary>
/// What a cathode has left of its emission, and whether its heater is whole. With P the power of the grid, d(ln emission)/dt = -max(0, P - threshold)/energy, less the nearer to a
/// twentieth of the emission; a part of it relaxes back. Besides -1/hours while hot, and a loss at each switching on.
/// </summary>
internal sealed class CathodeHealth(Poisoning? poisoning, Wear? wear)
{
    private const double MicrosecondsPerHour = 3.6e9;

    /// <summary>Poisoning takes no more than this of the logarithm of the emission.</summary>
    private const double MostPoisoned = 3;

    private long _seen;
    private double _worn, _poisoned, _passing;
    private int _switchings;

    /// <summary>Of the emission when new, 0 to 1.</summary>
    public double Emission => Math.Exp(-(_worn + _poisoned + _passing));

    public bool HeaterBroken { get; private set; }

    public bool Changes => poisoning is not null || wear is not null;

    /// <summary>Passes time in the state since the last call.</summary>
    /// <param name="gridWatts">Of grid 1.</param>
    public void Pass(long now, bool hot, double gridWatts)
    {
        var microseconds = now - _seen;
        _seen = now;
        if (microseconds <= 0) return;
        if (wear is not null && hot) _worn += microseconds / (wear.HotHours * MicrosecondsPerHour);
        if (poisoning is null) return;
        _passing *= Math.Exp(-microseconds * 1e-6 / poisoning.RecoverySeconds);
        if (!hot || gridWatts <= poisoning.ThresholdWatts) return;
        var room = MostPoisoned - _poisoned - _passing;
        var lost = Math.Max(0, room) * -double.ExpM1(-(gridWatts - poisoning.ThresholdWatts) * microseconds * 1e-6 / poisoning.Joules / MostPoisoned);
        _poisoned += poisoning.Lasting * lost;
        _passing += (1 - poisoning.Lasting) * lost;
    }

    /// <summary>The heater is switched on from cold.</summary>
    public void SwitchOn()
    {
        if (wear is null) return;
        _switchings++;
        _worn -= Math.Log(1 - wear.LossPerSwitchOn);
        if (wear.BreaksAt > 0 && _switchings >= wear.BreaksAt) HeaterBroken = true;
    }
}
