using System.Diagnostics.Metrics;
using SweepRig.Service.Stations;
using SweepRig.Storage;
using SweepRig.Sweeps.Queue;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Telemetry;

/// <summary>What can be read off the stations and the store at any moment: looked at when somebody asks, at no cost otherwise.</summary>
public sealed class BenchTelemetry : IDisposable
{
    public const string Name = "SweepRig.Service";

    private readonly Meter _meter = new(Name);
    private readonly StationList _stations;

    public BenchTelemetry(StationList stations, RunStore store)
    {
        _stations = stations;
        _meter.CreateObservableUpDownCounter("sweeprig.rig.connected", () => PerRig(s => s.Runner.State.Link == RigLinkState.Connected ? 1L : 0), "{rig}", "1 while the rig is connected.");
        _meter.CreateObservableUpDownCounter("sweeprig.rig.tripped", () => PerRig(s => s.Runner.State.Trip is null ? 0L : 1), "{rig}", "1 while a trip is latched.");
        _meter.CreateObservableUpDownCounter("sweeprig.rig.permitted", () => PerRig(s => s.Runner.State.Permit is null ? 0L : 1), "{rig}", "1 while positive drive is permitted.");
        _meter.CreateObservableUpDownCounter("sweeprig.rig.running", () => PerRig(s => s.Runner.State.Run is null ? 0L : 1), "{rig}", "1 while a run is under way.");
        _meter.CreateObservableUpDownCounter("sweeprig.night.steps.left", () => PerRig(s => NightOf(s)?.Steps.LongCount(step => !step.IsOver) ?? 0), "{step}", "Steps of the night under way that are not done with.");
        _meter.CreateObservableUpDownCounter("sweeprig.night.held", () => PerRig(s => NightOf(s) is { HeldBecause: not null } ? 1L : 0), "{night}", "1 while something holds the night under way.");
        _meter.CreateObservableCounter("sweeprig.link.frames.damaged", () => PerRig(s => s.Runner.State.Counters.Damaged), "{frame}", "Frames that came damaged.");
        _meter.CreateObservableCounter("sweeprig.link.frames.lost", () => PerRig(s => s.Runner.State.Counters.Lost), "{frame}", "Frames that did not come.");
        _meter.CreateObservableUpDownCounter("sweeprig.viewers", () => PerRig(s => (long)s.Runner.Feed.Viewers), "{viewer}", "Viewers of the live feed.");
        _meter.CreateObservableUpDownCounter("sweeprig.store.waiting", () => store.Waiting, "{write}", "Writes that wait for the server of a shared store.");
    }

    public void Dispose() => _meter.Dispose();

    private static Night? NightOf(Station station) => station.Night.Picture is { IsOver: false, Night: { } night } ? night : null;

    private IEnumerable<Measurement<long>> PerRig(Func<Station, long> value) =>
        _stations.Select(s => new Measurement<long>(value(s), KeyValuePair.Create<string, object?>("sweeprig.rig.name", s.Name)));
}
