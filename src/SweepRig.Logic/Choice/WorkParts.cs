namespace SweepRig.Logic.Choice;

/// <summary>Makes one share of the whole work, rising, of the shares of its parts.</summary>
internal sealed class WorkParts(IProgress<double>? progress)
{
    private double _told;

    /// <returns>Takes the share of a part that is done; one that is behind what was told is passed over.</returns>
    public Action<double> Part(double from, double to) => done =>
    {
        var now = from + (to - from) * done;
        if (now <= _told) return;
        _told = now;
        progress?.Report(now);
    };
}
