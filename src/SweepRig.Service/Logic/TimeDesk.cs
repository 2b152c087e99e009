using SweepRig.Domain;
using SweepRig.Logic.Maps;
using SweepRig.Logic.Timing;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;

namespace SweepRig.Service.Logic;

/// <summary>Answers how fast a gate of named tubes is, and how far its supplies may move. Nothing is stored. Safe from any thread.</summary>
public sealed class TimeDesk(LogicTubes tubes, Workbench workbench)
{
    public async Task<Outcome<TimingView>> TimeAsync(GateRequest request, Action<LogicWorkView>? progress, CancellationToken cancellation)
    {
        var (gate, chosen, faults) = await tubes.PlaceAsync(request, [], progress, cancellation);
        if (gate is null || chosen is null) return Outcome<TimingView>.Refuse(faults);
        progress?.Invoke(new("Playing it in time", 0, 1));
        var run = await workbench.RunAsync(() => TimingReport.Of(gate.Network, gate.Placed(chosen), cancellation), cancellation);
        return run.Value is { } report
            ? Outcome<TimingView>.Accept(TimingViewMaker.Of(gate.Network.Name, gate.Network, report, LogicRemarks.Of(chosen, [])))
            : Outcome<TimingView>.Refuse([.. run.Refusals.Select(r => r with { Path = "/values" })]);
    }

    public async Task<Outcome<MapView>> MapAsync(MapRequest request, Action<LogicWorkView>? progress, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(request);
        var (gate, chosen, faults) = await tubes.PlaceAsync(request, MapSettings.Faults(request), progress, cancellation);
        if (gate is null || chosen is null) return Outcome<MapView>.Refuse(faults);
        var run = await workbench.RunAsync(() => MarginMapper.Run(MapSettings.Order(request, gate, chosen), new WorkShare("Mapping, in percent", progress), cancellation), cancellation);
        return run.Value is { } map
            ? Outcome<MapView>.Accept(MapViewMaker.Of(map, LogicRemarks.Of(chosen, [])))
            : Outcome<MapView>.Refuse([.. run.Refusals.Select(r => r with { Path = r.Path switch { "/rails" => "/plateSpan", "/others" => "/otherSpan", "" => "/against", _ => r.Path } })]);
    }
}
