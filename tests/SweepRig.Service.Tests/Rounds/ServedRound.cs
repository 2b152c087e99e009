using System.Net;
using System.Net.Http.Json;
using System.Text.Json.Nodes;
using Microsoft.Extensions.DependencyInjection;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Stock;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;

namespace SweepRig.Service.Tests.Rounds;

/// <summary>A round on a whole bench, with hands that do at once what is asked.</summary>
internal sealed class ServedRound(TestBench bench)
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    /// <summary>The gentle look with few points.</summary>
    public static SweepPlan QuickPlan { get; } = PlanExamples.GentlePentode.Plan with { Name = "Quick look", Points = 29 };

    public StockStore Stock { get; } = bench.Services.GetRequiredService<StockStore>();

    public async Task BookAsync(string lot, int count, string type = "6AU6") => Assert.True(
        (await Stock.BookAsync(new(lot, Lot.PrefixOf(lot)!, type, null, null, null, DateTimeOffset.UnixEpoch), count, null, Cancellation)).IsAccepted);

    public async Task<HttpResponseMessage> BeginAsync(object request)
    {
        await Eventually.HoldsAsync("the rig to be connected", async () => (string?)(await bench.GetAsync("/api/bench"))["link"] == "connected");
        return await bench.Http.PostAsJsonAsync("/api/round", request, Cancellation);
    }

    public async Task<JsonNode> BegunAsync(string lot, params int[] sockets)
    {
        using var answer = await BeginAsync(new { plan = JsonNode.Parse(PlanDocument.Write(QuickPlan)), lot, sockets });
        var text = await answer.Content.ReadAsStringAsync(Cancellation);
        Assert.True(answer.StatusCode == HttpStatusCode.OK, text);
        return JsonNode.Parse(text)!;
    }

    public Task<HttpResponseMessage> EnterAsync(string text) => bench.Http.PostAsJsonAsync("/api/round/entry", new { text }, Cancellation);

    public async Task<JsonNode> StateAsync() => (await bench.GetAsync("/api/round"))["round"]!;

    /// <summary>Does what is asked until there is nothing more. A machine too busy for the rig's lease costs a trip, which is acknowledged.</summary>
    /// <param name="answer">To a question about a type.</param>
    public async Task<JsonNode> ThroughAsync(string answer = "keep")
    {
        var round = await StateAsync();
        while (!(bool)round["isOver"]!)
        {
            // A busy machine may take long for all of it, but not for the next thing to happen.
            var version = (long)round["version"]!;
            await Eventually.HoldsAsync("the round to move on", async () =>
            {
                round = await StateAsync();
                var kind = (string)round["asks"]![0]!["kind"]!;
                if (kind is "place" or "answer" or "mend") (await EnterAsync(kind switch { "place" => "", "answer" => answer, _ => "acknowledge" })).Dispose();
                return (long)round["version"]! != version;
            });
        }
        return round;
    }
}
