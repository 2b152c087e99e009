using System.Net;
using System.Text.Json.Nodes;
using System.Xml.Linq;
using SweepRig.Service.Tests.Support;
using UglyToad.PdfPig;

namespace SweepRig.Service.Tests.Api;

/// <summary>What goes to the bench with a latch whose feedback stands on two swept tubes.</summary>
public sealed class BuildEndpointsTests(SweptBench swept) : IClassFixture<SweptBench>
{
    private const string Latch = """{"gate": "latch", "tubes": [null, "SKUA-001", null, "skua-002"]}""";

    private readonly TestBench _bench = swept.Bench;

    [Fact]
    public async Task The_schematic_shows_the_very_parts_that_are_listed()
    {
        var answer = await SendAsync("schematic", Latch);
        Assert.Equal("image/svg+xml", answer.Content.Headers.ContentType!.MediaType);
        var svg = XElement.Parse(await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
        XNamespace ns = "http://www.w3.org/2000/svg";
        Assert.Contains("SKUA-002", svg.Value, StringComparison.Ordinal);
        var drawn = svg.Descendants(ns + "g").Select(g => g.Attribute("data-part")?.Value).OfType<string>().ToHashSet(StringComparer.Ordinal);

        var parts = await PartsAsync(Latch);
        var tubes = parts["tubes"]!.AsArray();
        Assert.Equal(["V_q_2", "V_p_2"], tubes.Where(t => t!["number"] is not null).Select(t => (string?)t!["position"]));
        Assert.Contains(parts["remarks"]!.AsArray(), r => ((string)r!).StartsWith("2 places have an example", StringComparison.Ordinal));
        string[] names = [.. tubes.Select(t => (string)t!["position"]!), .. parts["resistors"]!.AsArray().SelectMany(r => r!["names"]!.AsArray()).Select(n => (string)n!)];
        Assert.Equal(names.Order(), drawn.Where(d => d[0] is 'V' or 'R').Order());
    }

    [Fact]
    public async Task Parts_are_rated_for_the_tolerances_asked_for_and_named_by_their_series()
    {
        var (usual, wide) = (await PartsAsync("""{"gate": "inverter", "values": {"plateOhms": 12100}}"""), await PartsAsync("""{"gate": "inverter", "values": {"plateOhms": 12100}, "tolerances": {"resistorPercent": 20, "railPercent": 10}}"""));
        // 12.1 kΩ is in E96 alone (IEC 60063, table of E96).
        Assert.Equal("E96", (string?)Plate(usual)["series"]);
        // Adverse: V² over R, (1.10 / 1.05)² × (0.95 / 0.80).
        Assert.Equal(1.10 * 1.10 / (1.05 * 1.05) * 0.95 / 0.80, (double)Plate(wide)["mostWatts"]! / (double)Plate(usual)["mostWatts"]!, 6);
        Assert.True((double)Plate(usual)["ratedWatts"]! >= 2 * (double)Plate(usual)["mostWatts"]!);

        static JsonNode Plate(JsonNode parts) => parts["resistors"]!.AsArray().Single(r => (double)r!["ohms"]! == 12100)!;
    }

    [Fact]
    public async Task The_report_comes_as_a_page_and_as_sheets_of_the_paper_asked_for()
    {
        var html = await (await SendAsync("report.html", Latch)).Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        foreach (var expected in (string[])["Build of latch", "SKUA-001", "data-part=\"V_q_2\"", "Before you begin"]) Assert.Contains(expected, html, StringComparison.Ordinal);
        Assert.Contains("1 MΩ", await (await SendAsync("report.html", """{"gate": "inverter", "meterOhms": 1e6}""")).Content.ReadAsStringAsync(TestContext.Current.CancellationToken), StringComparison.Ordinal);

        var answer = await SendAsync("report.pdf?paper=letter", Latch);
        Assert.Equal("build-latch.pdf", answer.Content.Headers.ContentDisposition!.FileName);
        using var pdf = PdfDocument.Open(await answer.Content.ReadAsByteArrayAsync(TestContext.Current.CancellationToken));
        Assert.Equal(612, pdf.GetPage(1).Width, 0.5);
        Assert.Contains("SKUA-002", string.Concat(pdf.GetPages().SelectMany(p => p.Letters).Select(l => l.Value)), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_gate_that_restores_no_levels_is_drawn_all_the_same()
    {
        await SendAsync("schematic", """{"gate": "inverter", "values": {"plateOhms": 100}}""");
        await RefusedAsync("parts", """{"gate": "inverter", "values": {"plateOhms": 100}}""", "/values", "levels-not-restored");
    }

    [Theory]
    [InlineData("schematic", """{"gate": "half-addr"}""", "/gate", "gate-unknown")]
    [InlineData("schematic", """{"gate": "inverter", "tubes": ["SKUA-005"]}""", "/tubes/0", "never-swept")]
    [InlineData("parts", """{"gate": "latch", "tubes": ["SKUA-001", "SKUA-001"]}""", "/tubes/1", "tube-twice")]
    [InlineData("parts", """{"gate": "inverter", "tolerances": {"railPercent": 80}}""", "/tolerances/railPercent", "out-of-range")]
    [InlineData("report.html", """{"gate": "inverter", "meterOhms": 10}""", "/meterOhms", "meter-out-of-range")]
    [InlineData("report.pdf?paper=a9", """{"gate": "inverter"}""", "/paper", "paper-unknown")]
    [InlineData("report.pdf", """{"gate": "inverter", "rails": {"plateVolts": 90}}""", "/rails/plateVolts", "out-of-range")]
    public async Task What_cannot_be_built_is_refused_with_its_place(string what, string body, string path, string code) => await RefusedAsync(what, body, path, code);

    private async Task RefusedAsync(string what, string body, string path, string code)
    {
        var problem = await TestBench.ProblemAsync(await _bench.SendAsync("POST", "/api/logic/" + what, body), HttpStatusCode.UnprocessableEntity);
        Assert.Contains(problem["refusals"]!.AsArray(), r => ((string?)r!["path"], (string?)r["code"]) == (path, code));
    }

    private async Task<JsonNode> PartsAsync(string body) => JsonNode.Parse(await (await SendAsync("parts", body)).Content.ReadAsStringAsync(TestContext.Current.CancellationToken))!;

    private async Task<HttpResponseMessage> SendAsync(string what, string body)
    {
        var answer = await _bench.SendAsync("POST", "/api/logic/" + what, body);
        Assert.True(answer.StatusCode == HttpStatusCode.OK, await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
        return answer;
    }
}
