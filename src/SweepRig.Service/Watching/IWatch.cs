using SweepRig.Domain.Watching;

namespace SweepRig.Service.Watching;

/// <summary>Where everything is told that someone who left the bench alone wants to know. Safe from any thread.</summary>
public interface IWatch
{
    /// <summary>Takes an event to keep it and to raise alarms. Never waits and never throws: what tells of trouble must not make more of it.</summary>
    void Post(BenchEvent happened);
}

/// <summary>Hears each event as it is posted, on the thread of whoever posts it.</summary>
public interface IEventListener
{
    /// <summary>Never waits and never throws.</summary>
    void Hear(BenchEvent happened);
}
