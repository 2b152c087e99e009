using SweepRig.Domain;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;

namespace SweepRig.Service.Watching.Alarms;

/// <summary>Alarms as REST and commands show them.</summary>
public static class AlarmViews
{
    public static AlarmStatusView Of(AlarmConfig config, IReadOnlyList<Refusal> faults, IReadOnlyList<PendingAlarm> pending, IReadOnlyList<DoneAlarm> done) => new(
        [.. config.Ways.Select(w => new AlarmWayView(w.Name, w.Kind, w.Where))],
        [.. faults.Select(f => f.ToString())],
        [.. pending.Select(p => new WaitingAlarmView(p.Way, p.Message.Subject, BenchViews.Utc(p.Message.Utc), p.Tries, p.Fault))],
        [.. done.Reverse().Select(d => new DoneAlarmView(d.Way, d.Subject, BenchViews.Utc(d.SentUtc), BenchViews.Utc(d.DoneUtc), d.Tries, d.Fault))]);
}
