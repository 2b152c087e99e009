using System.Diagnostics.Metrics;
using SweepRig.Domain.Watching;
using SweepRig.Service.Live;
using SweepRig.Service.Watching;

namespace SweepRig.Service.Telemetry;

/// <summary>Counts what befell the bench, by kind and severity.</summary>
public sealed class EventTelemetry : IEventListener, IDisposable
{
    private readonly Meter _meter = new(BenchTelemetry.Name);
    private readonly Counter<long> _events;

    public EventTelemetry() => _events = _meter.CreateCounter<long>("sweeprig.events", "{event}", "Events of the bench, by kind.");

    public void Hear(BenchEvent happened) => _events.Add(
        1, KeyValuePair.Create<string, object?>("sweeprig.rig.name", happened.Rig ?? ""), KeyValuePair.Create<string, object?>("sweeprig.event.kind", BenchViews.Word(happened.Kind)),
        KeyValuePair.Create<string, object?>("sweeprig.event.severity", BenchViews.Word(happened.Severity)));

    public void Dispose() => _meter.Dispose();
}
