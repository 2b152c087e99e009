using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;
using SweepRig.Rigs.Bus.Configuration;
using SweepRig.Rigs.Serial;
using SweepRig.Rigs.Simulated;
using SweepRig.Tubes.Lots;

namespace SweepRig.Service.Stations;

/// <summary>The rigs of a service as a JSON document. Every fault is reported at once with its path; an unknown key is a fault.</summary>
public static class RigsDocument
{
    /// <summary>Value of the key <c>format</c>; a later shape gets another number.</summary>
    public const string Format = "rigs/1";

    private const int MaxCharacters = 65_536, LongestPath = 4096;

    private static readonly string[] Kinds = ["port", "bus", "simulated"];

    private static readonly Lazy<string> EmbeddedSchema = new(() => DocumentText.Schema(typeof(RigsDocument), "SweepRig.Service.Stations.rigs.schema.json"));

    /// <summary>The JSON Schema (draft 2020-12) of the document. What one rig demands of another only <see cref="Parse"/> knows.</summary>
    public static string Schema => EmbeddedSchema.Value;

    /// <param name="json">The document.</param>
    /// <param name="readBus">Reads the configuration of a direct bus by the path that stands in the document.</param>
    /// <returns>The rigs in their order, or every fault.</returns>
    public static Outcome<IReadOnlyList<RigChoice>> Parse(string json, Func<string, Outcome<BusConfig>> readBus) =>
        DocumentText.Open(json, MaxCharacters, "a list of rigs", element => DocumentText.Read<IReadOnlyList<RigChoice>>(element, "a list of rigs", (e, faults) => Read(e, readBus, faults)));

    private static RigChoice[]? Read(JsonElement element, Func<string, Outcome<BusConfig>> readBus, List<Refusal> faults)
    {
        if (ObjectReader.Open(element, "", faults, "format", "rigs") is not { } root) return null;
        _ = root.Word("format", Format);
        if (!root.Has("rigs")) root.Fault("missing-key", "rigs", "the key \"rigs\" is missing", $"a list of 1 to {RigChoices.Most} rigs is needed", "Add \"rigs\".");
        var rigs = root.Objects("rigs", RigChoices.Most, "name", "port", "baud", "bus", "serialNumber", "simulated");
        RigChoice?[] read = [.. rigs.Select((rig, place) => ReadRig(rig, place, readBus, faults))];
        if (faults.Count > 0) return null;
        var choices = read.Select(r => r!).ToArray();
        faults.AddRange(RigChoices.Faults(choices));
        return faults.Count > 0 ? null : choices;
    }

    private static RigChoice? ReadRig(ObjectReader rig, int place, Func<string, Outcome<BusConfig>> readBus, List<Refusal> faults)
    {
        var name = rig.Line("name", StationName.Longest);
        string[] kinds = [.. Kinds.Where(rig.Has)];
        if (kinds.Length != 1)
        {
            rig.Fault("rig-unclear", "", kinds.Length == 0 ? "the rig has neither port, bus nor simulated" : $"the rig has {string.Join(" and ", kinds)}", "one of port, bus and simulated is needed",
                "Write for example \"port\": \"/dev/ttyUSB0\", or \"simulated\": {}.");
            return null;
        }
        if (rig.Has("baud") && kinds[0] != "port") rig.Fault("baud-without-port", "baud", "baud stands without port", "only a serial port has a rate", "Take it out.");
        if (rig.Has("serialNumber") && kinds[0] == "bus") rig.Fault("serial-number-twice", "serialNumber", "serialNumber stands beside bus", "the configuration of the bus has the serial number", "Take it out.");
        var serial = rig.Has("serialNumber") ? rig.Line("serialNumber", 40) : null;
        if (name is null) return null;
        var choice = new RigChoice(name) { SerialNumber = serial, Seed = place + 1 };
        return kinds[0] switch
        {
            "port" => rig.Line("port", LongestPath) is { } port && rig.Whole("baud", SerialRigPort.MinBaud, SerialRigPort.MaxBaud, "baud", SerialRigPort.DefaultBaud) is { } baud ? choice with { Port = port, Baud = baud } : null,
            "bus" => rig.Line("bus", LongestPath) is { } file && Bus(file, $"/rigs/{place}/bus", readBus, faults) is { } bus ? choice with { Bus = bus } : null,
            _ => Simulated(rig, choice),
        };
    }

    private static BusConfig? Bus(string file, string path, Func<string, Outcome<BusConfig>> read, List<Refusal> faults)
    {
        var config = read(file);
        faults.AddRange(config.Refusals.Select(r => r with { Path = path, Asked = $"{file}{(r.Path.Length > 0 ? " " : "")}{r.Path}: {r.Asked}" }));
        return config.Value;
    }

    private static RigChoice? Simulated(ObjectReader rig, RigChoice choice)
    {
        if (rig.Object("simulated", true, "seed", "heaterSpeed", "lotSeed", "lotTube", "defect") is not { } simulated) return null;
        var seed = simulated.Whole("seed", 0, int.MaxValue, "", choice.Seed);
        var speed = simulated.Has("heaterSpeed") ? simulated.Number("heaterSpeed", 1, 1000, "") : null;
        int? lot = simulated.Has("lotSeed") ? simulated.Whole("lotSeed", 0, int.MaxValue, "") : null;
        if (simulated.Has("lotTube") && lot is null) simulated.Fault("lot-tube-without-lot", "lotTube", "lotTube stands without lotSeed", "a number means nothing without a lot", "Add \"lotSeed\".");
        var tube = simulated.Whole("lotTube", 1, SimulatedTubes.LotCount, "", 1);
        var defect = simulated.Has("defect") && simulated.Word("defect", [.. DefectKinds.All.Select(k => k.Name)]) is { } word ? DefectKinds.Find(word) : null;
        return choice with { Seed = seed ?? 0, HeaterSpeed = speed, Tubes = new(lot, tube ?? 1, defect) };
    }
}
