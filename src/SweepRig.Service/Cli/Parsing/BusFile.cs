using SweepRig.Domain;
using SweepRig.Rigs.Bus.Configuration;

namespace SweepRig.Service.Cli.Parsing;

/// <summary>The configuration of a direct bus in a file.</summary>
public static class BusFile
{
    public static Outcome<BusConfig> Read(string file)
    {
        try
        {
            return BusDocument.Parse(File.ReadAllText(file));
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            var why = fault is FileNotFoundException or DirectoryNotFoundException ? "there is no such file" : Directory.Exists(file) ? "it is a directory" : fault.Message.TrimEnd('.');
            return Outcome<BusConfig>.Refuse(new Refusal(
                "bus-file-not-readable", "", "the configuration cannot be read", why, "Give the path of a configuration, as in firmware-notes/direct-bus.example.json."));
        }
    }
}
