using System.Text.Json.Nodes;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

public sealed class ReportCommandTests : IAsyncLifetime, IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    public ValueTask DisposeAsync() => ValueTask.CompletedTask;

    public async ValueTask InitializeAsync() => await ModelledLot.StoreAsync(_data.Path, 5);

    [Theory]
    [InlineData("lot", "skua", "Skua", "Lot Skua")]
    [InlineData("tube", "skua-001", "SKUA-001", "SKUA-001, 6AU6")]
    public async Task Lots_and_tubes_are_written_as_page_and_as_pdf(string what, string asked, string name, string title)
    {
        var (html, pdf) = (_data.File("sheet.html"), _data.File("sheet.pdf"));
        var run = await CliRun.OfAsync(_data.Path, ["report", what, asked, "--to", html, "--to", pdf, "--paper", "letter", "--json"]);
        Assert.Equal((0, ""), (run.ExitCode, run.Error));
        var told = JsonNode.Parse(run.Output)!;
        Assert.Equal((name, 2), ((string?)told["of"], told["files"]!.AsArray().Count));
        Assert.Contains($"<h1>{title}</h1>", await File.ReadAllTextAsync(html, TestContext.Current.CancellationToken), StringComparison.Ordinal);
        Assert.StartsWith("%PDF-", await File.ReadAllTextAsync(pdf, TestContext.Current.CancellationToken), StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_morning_report_is_written_without_a_service_and_says_that_the_rigs_are_not_known()
    {
        var (html, pdf) = (_data.File("morning.html"), _data.File("morning.pdf"));
        var run = await CliRun.OfAsync(_data.Path, ["report", "night", "--since", "12h", "--to", html, "--to", pdf]);
        Assert.Equal((0, ""), (run.ExitCode, run.Error));
        Assert.StartsWith("No service is running here", run.Output, StringComparison.Ordinal);
        Assert.Contains("<h1>Morning report</h1>", await File.ReadAllTextAsync(html, TestContext.Current.CancellationToken), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("report night 019 --to x.pdf", "none of that id is on record")]
    [InlineData("report night 019 --since 2h --to x.pdf", "Leave out ID or --since.")]
    [InlineData("report night --since 50d --to x.pdf", "at most 31 days")]
    [InlineData("report lot Petrel --to x.pdf", "the stock has Skua")]
    [InlineData("report tube SKUA-077 --to x.pdf", "the stock has none of that number")]
    [InlineData("report lot Skua", "Give --to FILE.pdf, --to FILE.html or both.")]
    [InlineData("report lot Skua --to x.docx", "allowed is a file that ends in .pdf or .html")]
    public async Task What_cannot_be_reported_says_what_to_do(string command, string says)
    {
        var run = await CliRun.OfAsync(_data.Path, command.Split(' '));
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(says, run.Error, StringComparison.Ordinal);
    }
}
