using SweepRig.Domain;

namespace SweepRig.Service.Stations;

/// <summary>What must hold among the rigs of one service.</summary>
public static class RigChoices
{
    public const int Most = 8;

    /// <summary>Every fault, each naming both rigs that it is about.</summary>
    /// <param name="choices">In their order.</param>
    public static IReadOnlyList<Refusal> Faults(IReadOnlyList<RigChoice> choices)
    {
        List<Refusal> faults = [];
        if (choices.Count is 0 or > Most)
            faults.Add(new("rigs-too-many", "/rigs", $"{choices.Count} rigs", $"one service drives 1 to {Most}", "Give the others to a second service with a data directory of its own."));
        for (var i = 0; i < choices.Count; i++)
        {
            var path = $"/rigs/{i}";
            if (StationName.Fault(choices[i].Name) is { } bad) faults.Add(bad with { Path = $"{path}/name" });
            foreach (var earlier in choices.Take(i))
                if (Clash(earlier, choices[i], path) is { } clash) faults.Add(clash);
        }
        return faults;
    }

    private static Refusal? Clash(RigChoice first, RigChoice second, string path)
    {
        if (first.Name == second.Name)
            return new("rig-name-twice", $"{path}/name", $"two rigs named {second.Name}", "each name once", "Give one of them another name.");
        if (first.Port is { } one && second.Port is { } other && Device(one) == Device(other))
        {
            var same = one == other ? one : $"{other} is the same device as {one}";
            return new("rig-port-twice", $"{path}/port", $"rig {second.Name} on {other}", $"rig {first.Name} has that port{(one == other ? "" : $" ({same})")}", "One rig has one port: leave one of them out, or name its own port.");
        }
        if (Serial(first) is { } number && number == Serial(second))
        {
            return new("rig-serial-twice", second.Bus is null ? $"{path}/serialNumber" : $"{path}/bus", $"rig {second.Name} has the serial number {number}", $"rig {first.Name} has that serial number",
                "Give each rig a serial number of its own, since calibrations belong to it.");
        }
        if (first.Bus is { } bus && second.Bus is { } another && bus.I2cBus == another.I2cBus)
            return new("rig-bus-twice", $"{path}/bus", $"rig {second.Name} on I2C bus {another.I2cBus}", $"rig {first.Name} has that bus", "One rig has one bus: two would answer at the same addresses.");
        return null;
    }

    private static string? Serial(RigChoice choice) => choice.Bus?.SerialNumber ?? choice.SerialNumber;

    /// <summary>The device behind a name, which may be a link to it.</summary>
    private static string Device(string port)
    {
        try
        {
            return File.ResolveLinkTarget(port, returnFinalTarget: true)?.FullName ?? Path.GetFullPath(port);
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            // A device that is away is told when its port is opened.
            return Path.GetFullPath(port);
        }
    }
}
