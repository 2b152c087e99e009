using SweepRig.Tubes.Lots;

namespace SweepRig.Rigs.Simulated.Physics;

/// <summary>What taps on the bulb leave on the effective grid voltage: the newest tap's ringing, which dies away.</summary>
internal sealed class Ringing(Microphony? tube)
{
    private const double Done = 20;

    private long? _tappedAt;

    public void Tap(long now) => _tappedAt = now;

    public double VoltsAt(long now)
    {
        if (tube is null || _tappedAt is not { } from || now < from) return 0;
        var seconds = (now - from) * 1e-6;
        var decays = seconds / tube.DecaySeconds;
        return decays > Done ? 0 : tube.VoltsPerTap * Math.Exp(-decays) * Math.Sin(2 * Math.PI * tube.Hertz * seconds);
    }
}
