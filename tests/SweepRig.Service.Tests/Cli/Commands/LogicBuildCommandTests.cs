using System.Text;
using System.Text.Json;
using System.Xml.Linq;
using SweepRig.Service.Tests.Cli.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

public sealed class LogicBuildCommandTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task Parts_of_a_gate_are_listed_for_people_and_for_programs()
    {
        var run = await CliRun.OfAsync(_data.Path, ["logic", "parts", "half-adder"]);
        Assert.Equal(0, run.ExitCode);
        foreach (var expected in (string[])["Parts of half-adder", "not of the stock", "E12", "heaters", "none of yours"]) Assert.Contains(expected, run.Output, StringComparison.Ordinal);

        using var json = JsonDocument.Parse((await CliRun.OfAsync(_data.Path, ["logic", "parts", "half-adder", "--json"])).Output);
        Assert.Equal(8, json.RootElement.GetProperty("tubes").GetArrayLength());
        // Eight heaters of 300 mA (6AU6: heater 6.3 V, 0.3 A; RCA Receiving Tube Manual, from memory).
        Assert.Equal(8 * 0.3, json.RootElement.GetProperty("heaterAmperes").GetDouble(), 6);
    }

    [Fact]
    public async Task A_network_of_ones_own_is_counted_drawn_and_written_as_a_gate_is()
    {
        var network = Path.Combine(_data.Path, "latch.json");
        await File.WriteAllTextAsync(network, (await CliRun.OfAsync(_data.Path, ["logic", "example", "latch"])).Output, TestContext.Current.CancellationToken);
        var (svg, html, pdf) = (Path.Combine(_data.Path, "latch.svg"), Path.Combine(_data.Path, "latch.html"), Path.Combine(_data.Path, "latch.pdf"));
        Assert.Contains("Parts of latch", (await CliRun.OfAsync(_data.Path, ["logic", "parts", network])).Output, StringComparison.Ordinal);
        Assert.Equal(0, (await CliRun.OfAsync(_data.Path, ["logic", "schematic", network, "--to", svg])).ExitCode);
        Assert.Contains("V_q_1", XElement.Parse(await File.ReadAllTextAsync(svg, TestContext.Current.CancellationToken)).Value, StringComparison.Ordinal);

        using var written = JsonDocument.Parse((await CliRun.OfAsync(_data.Path, ["logic", "report", network, "--meter", "1e6", "--to", html, "--to", pdf, "--json"])).Output);
        Assert.Equal([html, pdf], written.RootElement.GetProperty("files").EnumerateArray().Select(f => f.GetString()));
        Assert.Contains("a meter of 1 MΩ", await File.ReadAllTextAsync(html, TestContext.Current.CancellationToken), StringComparison.Ordinal);
        Assert.Equal("%PDF-", Encoding.ASCII.GetString((await File.ReadAllBytesAsync(pdf, TestContext.Current.CancellationToken))[..5]));
    }

    [Theory]
    [InlineData("parts half-addr", "Did you mean half-adder?")]
    [InlineData("parts none.json", "there is no such file")]
    [InlineData("parts inverter --tube SKUA-014", "sweeprig sweep gentle-pentode --tube SKUA-014")]
    [InlineData("parts - --tube SKUA-014", "a network holds its own tubes, rails and values")]
    [InlineData("parts - --plate-resistor 22000", "Leave --plate-resistor out")]
    [InlineData("parts -", "not valid JSON")]
    [InlineData("schematic inverter --to inverter.png", "ends in .svg")]
    [InlineData("schematic inverter --to", "--to without a value")]
    [InlineData("report inverter", "--to FILE.pdf")]
    [InlineData("report inverter --to inverter.txt", ".pdf or .html")]
    [InlineData("report inverter --meter 10 --to inverter.pdf", "sheet of the meter")]
    public async Task What_cannot_be_built_says_what_to_do(string asked, string remedy)
    {
        var run = await CliRun.OfAsync(_data.Path, ["logic", .. asked.Split(' ')]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(remedy, run.Error, StringComparison.Ordinal);
    }
}
