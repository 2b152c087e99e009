using SweepRig.Domain;
using SweepRig.Rigs.Bus.Configuration;
using SweepRig.Service.Stations;

namespace SweepRig.Service.Tests.Stations;

public sealed class RigsDocumentTests
{
    [Fact]
    public void All_kinds_of_rigs_are_read_in_their_order()
    {
        var read = Parse("""
            { "format": "rigs/1", "rigs": [
              { "name": "left", "port": "/dev/ttyUSB0", "baud": 1000000, "serialNumber": "RP-17" },
              { "name": "right", "port": "/dev/ttyUSB1" },
              { "name": "board", "bus": "bench.json" },
              { "name": "practice", "simulated": { "seed": 9, "heaterSpeed": 50, "lotSeed": 7, "lotTube": 14, "defect": "gas" } },
              { "name": "spare", "simulated": {} } ] }
            """);
        Assert.Empty(read.Refusals);
        var rigs = read.Value!;
        Assert.Equal(["left", "right", "board", "practice", "spare"], rigs.Select(r => r.Name));
        Assert.Equal(("/dev/ttyUSB0", 1_000_000, "RP-17"), (rigs[0].Port, rigs[0].Baud, rigs[0].SerialNumber));
        Assert.Equal(("/dev/ttyUSB1", 115_200, null), (rigs[1].Port, rigs[1].Baud, rigs[1].SerialNumber));
        Assert.NotNull(rigs[2].Bus);
        Assert.Equal((9, 50, 7, 14), (rigs[3].Seed, rigs[3].HeaterSpeed, rigs[3].Tubes.LotSeed, rigs[3].Tubes.Number));
        Assert.Equal("gas", rigs[3].Tubes.Defect?.Name);
        Assert.Equal((true, 5, 10), (rigs[4].IsSimulated, rigs[4].Seed, rigs[4].EffectiveHeaterSpeed));
    }

    [Theory]
    [InlineData("""{ "rigs": [{ "name": "a", "simulated": {} }] }""", "/format", "missing-key")]
    [InlineData("""{ "format": "rigs/1" }""", "/rigs", "missing-key")]
    [InlineData("""{ "format": "rigs/1", "rigs": [] }""", "/rigs", "rigs-too-many")]
    [InlineData("""{ "format": "rigs/1", "rigs": [{ "name": "a" }] }""", "/rigs/0", "rig-unclear")]
    [InlineData("""{ "format": "rigs/1", "rigs": [{ "name": "a", "simulated": {}, "port": "/dev/ttyUSB0" }] }""", "/rigs/0", "rig-unclear")]
    [InlineData("""{ "format": "rigs/1", "rigs": [{ "name": "A b", "simulated": {} }] }""", "/rigs/0/name", "rig-name-bad")]
    [InlineData("""{ "format": "rigs/1", "rigs": [{ "name": "a", "prot": "/dev/ttyUSB0", "simulated": {} }] }""", "/rigs/0/prot", "unknown-key")]
    [InlineData("""{ "format": "rigs/1", "rigs": [{ "name": "a", "port": "/dev/ttyUSB0", "baud": 300 }] }""", "/rigs/0/baud", "out-of-range")]
    [InlineData("""{ "format": "rigs/1", "rigs": [{ "name": "a", "simulated": {}, "baud": 9600 }] }""", "/rigs/0/baud", "baud-without-port")]
    [InlineData("""{ "format": "rigs/1", "rigs": [{ "name": "a", "simulated": { "heaterSpeed": 0.5 } }] }""", "/rigs/0/simulated/heaterSpeed", "out-of-range")]
    [InlineData("""{ "format": "rigs/1", "rigs": [{ "name": "a", "simulated": { "lotTube": 3 } }] }""", "/rigs/0/simulated/lotTube", "lot-tube-without-lot")]
    [InlineData("""{ "format": "rigs/1", "rigs": [{ "name": "a", "simulated": { "defect": "gass" } }] }""", "/rigs/0/simulated/defect", "unknown-word")]
    [InlineData("""{ "format": "rigs/1", "rigs": [{ "name": "a", "bus": "missing.json" }] }""", "/rigs/0/bus", "bus-file-not-readable")]
    [InlineData("""{ "format": "rigs/1", "rigs": [{ "name": "a", "port": "/dev/ttyUSB0" }, { "name": "b", "port": "/dev/ttyUSB0" }] }""", "/rigs/1/port", "rig-port-twice")]
    [InlineData("""{ "format": "rigs/1", "rigs": [{ "name": "a", "port": "/dev/ttyUSB0", "serialNumber": "7" }, { "name": "b", "simulated": {}, "serialNumber": "7" }] }""", "/rigs/1/serialNumber", "rig-serial-twice")]
    public void Each_fault_is_told_where_it_is(string json, string path, string code)
    {
        var fault = Assert.Single(Parse(json).Refusals);
        Assert.Equal((path, code), (fault.Path, fault.Code));
        Assert.NotEqual("", fault.Allowed);
        Assert.NotEqual("", fault.Remedy);
    }

    [Fact]
    public void All_faults_come_out_at_once()
    {
        var faults = Parse("""{ "format": "rigs/2", "rigs": [{ "name": "a" }, { "name": "b", "port": "/dev/ttyUSB0", "baud": 3 }] }""").Refusals;
        Assert.Equal(["/format", "/rigs/0", "/rigs/1/baud"], faults.Select(f => f.Path).Order());
    }

    private static Outcome<IReadOnlyList<RigChoice>> Parse(string json) => RigsDocument.Parse(json, file => file == "bench.json"
        ? BusDocument.Parse(File.ReadAllText(Path.Combine(Support.Repository.Root, "firmware-notes", "direct-bus.example.json")))
        : Outcome<BusConfig>.Refuse(new Refusal("bus-file-not-readable", "", "the configuration cannot be read", "there is no such file", "Give the path of a configuration.")));
}
