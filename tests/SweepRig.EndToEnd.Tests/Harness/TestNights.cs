using System.Globalization;
using System.Net.Http.Json;
using System.Text.Json.Nodes;

namespace SweepRig.EndToEnd.Tests.Harness;

/// <summary>Nights of sweeps on one tube, whose window is open now and for most of a day, whenever the test is run.</summary>
public static class TestNights
{
    private static readonly TimeSpan Limit = TimeSpan.FromSeconds(60);

    /// <param name="plan">Name of an example, or a plan.</param>
    /// <param name="sweeps">How many jobs.</param>
    public static JsonObject Of(JsonNode plan, int sweeps)
    {
        var now = TimeProvider.System.GetUtcNow();
        return new()
        {
            ["format"] = "night/1",
            ["name"] = "Skua",
            ["timeZone"] = "Etc/UTC",
            ["window"] = new JsonObject { ["from"] = At(now.AddHours(-2)), ["to"] = At(now.AddHours(20)) },
            ["sockets"] = new JsonArray(new JsonObject { ["socket"] = 0, ["tube"] = "SKUA-014", ["type"] = "6AU6" }),
            ["limits"] = new JsonObject { ["attempts"] = 20, ["acknowledgements"] = 1_000 },
            ["mayBeCutShort"] = true,
            ["jobs"] = new JsonArray([.. Enumerable.Range(1, sweeps).Select(j => new JsonObject { ["name"] = $"sweep-{j}", ["do"] = "sweep", ["plan"] = plan.DeepClone() })]),
        };
    }

    /// <returns>Its id.</returns>
    public static async Task<string> BeginAsync(HttpClient http, JsonObject document)
    {
        using var answer = await http.PostAsJsonAsync("/api/night", new { document });
        var said = await answer.Content.ReadAsStringAsync();
        return answer.IsSuccessStatusCode ? (string)JsonNode.Parse(said)!["id"]! : throw new InvalidOperationException($"A night was refused: {said}");
    }

    public static Task<JsonNode> UntilAsync(HttpClient http, string what, Func<JsonNode, bool> condition) => Waiting.ForAsync($"the night to be {what}", Limit, async () =>
        (await http.GetFromJsonAsync<JsonNode>("/api/night"))!["night"] is { } night && condition(night) ? night : null);

    private static string At(DateTimeOffset time) => time.ToString("HH:mm", CultureInfo.InvariantCulture);
}
