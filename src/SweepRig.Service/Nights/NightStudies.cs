using SweepRig.Domain;
using SweepRig.Sweeps.Queue;

namespace SweepRig.Service.Nights;

/// <summary>Which studies a night can do.</summary>
public static class NightStudies
{
    public static IEnumerable<Refusal> Faults(NightOrder order)
    {
        ArgumentNullException.ThrowIfNull(order);
        for (var job = 0; job < order.Jobs.Count; job++)
        {
            if (order.Jobs[job].Work is not (NightWork.Screen or NightWork.Sweep or NightWork.Family))
                yield return new("work-not-available", FormattableString.Invariant($"/jobs/{job}/do"), $"job {order.Jobs[job].Name} is to do {order.Jobs[job].Work.Word}", "this version does screen, sweep and family at night", "Use those, with \"every\" to repeat them.");
        }
    }
}
