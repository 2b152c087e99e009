using System.Text.Json.Nodes;
using SweepRig.EndToEnd.Tests.Harness;

namespace SweepRig.EndToEnd.Tests.Sweeping;

public sealed class DemoTests
{
    [Fact]
    public async Task The_demo_sees_fold_back_in_pentode_and_none_in_triode_connection()
    {
        var data = Directory.CreateTempSubdirectory("sweeprig-demo-").FullName;

        var (exit, output, error) = await SweepRigProcess.RunAsync(TimeSpan.FromSeconds(60), "demo", "--once", "--json", "--data", data);

        Assert.True(exit == 0, error);
        var runs = JsonNode.Parse(output)!["runs"]!.AsArray();
        Assert.Equal(["pentode", "triode"], runs.Select(r => (string?)r!["connection"]));
        foreach (var curve in runs[0]!["levels"]!["curves"]!.AsArray().Where(c => (string?)c!["pass"]!["direction"] == "up"))
            Assert.InRange((double)curve!["foldBackDepth"]!["value"]!, 0.1, 1.0);
        foreach (var curve in runs[1]!["levels"]!["curves"]!.AsArray().Where(c => (string?)c!["pass"]!["direction"] == "up"))
            Assert.Null(curve!["foldBackDepth"]!["value"]);
        foreach (var run in runs)
            Assert.True(File.Exists((string?)run!["csv"]), $"The export {run!["csv"]} is missing.");
        Directory.Delete(data, recursive: true);
    }
}
