using SweepRig.Domain;
using SweepRig.Service.Stations;

namespace SweepRig.Service.Cli.Parsing;

/// <summary>A rig of several as one word on a command line: <c>NAME=/dev/ttyUSB0</c>, <c>NAME=bus:FILE</c>, <c>NAME=simulated</c>; the name may be left out.</summary>
public static class NamedRig
{
    public const string Simulated = "simulated", Bus = "bus:";

    /// <param name="text">As given.</param>
    /// <param name="place">Its place among the rigs, from 0.</param>
    public static Outcome<RigChoice> Read(string text, int place)
    {
        // A path may have an equals sign; a name has none, and no slash.
        var equals = text.IndexOf('=', StringComparison.Ordinal);
        var named = equals >= 0 && !text.AsSpan(0, equals).Contains('/');
        var (name, what) = named ? (text[..equals], text[(equals + 1)..]) : (StationName.Usual(place), text);
        if (StationName.Fault(name) is { } bad) return Outcome<RigChoice>.Refuse(bad);
        var choice = new RigChoice(name);
        if (what == Simulated) return Outcome<RigChoice>.Accept(choice);
        if (what.StartsWith(Bus, StringComparison.Ordinal) && what.Length > Bus.Length)
        {
            var config = BusFile.Read(what[Bus.Length..]);
            return config.IsAccepted
                ? Outcome<RigChoice>.Accept(choice with { Bus = config.Value })
                : Outcome<RigChoice>.Refuse([.. config.Refusals.Select(r => r with { Asked = $"{what[Bus.Length..]}{(r.Path.Length > 0 ? $" {r.Path}" : "")}: {r.Asked}" })]);
        }
        return what.Contains('/', StringComparison.Ordinal)
            ? Outcome<RigChoice>.Accept(choice with { Port = what })
            : Outcome<RigChoice>.Refuse(new Refusal("rig-unclear", "", $"--rig {text}", $"allowed is NAME=PORT with the path of a serial port, NAME={Bus}FILE, or NAME={Simulated}", $"Write for example {(named ? name : "left")}=/dev/ttyUSB0."));
    }
}
