using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Service.Contract;
using SweepRig.Service.Nights;
using SweepRig.Sweeps.Queue;

namespace SweepRig.Service.Cli.Benches;

/// <content>Unattended work, done in this process.</content>
public sealed partial class LocalBench
{
    public Task<NightView?> NightAsync(CancellationToken cancellationToken) => Task.FromResult(_station.Night.Picture is { } picture ? View(picture) : null);

    public async Task<Outcome<NightPlanView>> PlanNightAsync(JsonElement document, CancellationToken cancellationToken)
    {
        var order = NightDocument.Parse(document);
        if (!order.IsAccepted) return Outcome<NightPlanView>.Refuse(order.Refusals);
        var now = _time.GetUtcNow();
        return (await _station.Night.CheckAsync(order.Value, now, cancellationToken)).Map(setup => NightViewMaker.Plan(setup, now));
    }

    public async Task<Outcome<NightView>> BeginNightAsync(JsonElement document, CancellationToken cancellationToken)
    {
        var order = NightDocument.Parse(document);
        return order.IsAccepted ? (await _station.Night.BeginAsync(order.Value, document, cancellationToken)).Map(View) : Outcome<NightView>.Refuse(order.Refusals);
    }

    private NightView View(NightPicture picture) => NightViewMaker.Of(picture, _station.Name, _station.Night.At(picture));
}
