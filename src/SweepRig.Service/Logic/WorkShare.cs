using SweepRig.Service.Contract;

namespace SweepRig.Service.Logic;

/// <summary>Tells a share of work in percent, at once: what came after the end of the work would be kept for ever.</summary>
/// <param name="doing">In a few words.</param>
internal sealed class WorkShare(string doing, Action<LogicWorkView>? progress) : IProgress<double>
{
    public void Report(double value) => progress?.Invoke(new(doing, (int)(100 * value), 100));
}
