using System.Security;
using System.Text;
using SweepRig.Domain;
using SweepRig.Service.Hosting;
using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Service.Interlocks;

/// <summary>The interlock limits that a bench has set for itself: one JSON document in its data directory, or none.</summary>
public static class BenchRuleFile
{
    /// <summary>Name of the document in the data directory.</summary>
    public const string Name = "interlocks.json";

    public static string PlaceOf(string dataDirectory) => Path.Combine(dataDirectory, Name);

    /// <returns>The limits, the defaults where there is no document, or what is wrong with it.</returns>
    public static Outcome<RuleSettings> Read(string dataDirectory)
    {
        var place = PlaceOf(dataDirectory);
        if (!File.Exists(place)) return Outcome<RuleSettings>.Accept(RuleSettings.Default);
        try
        {
            var bytes = new FileInfo(place).Length;
            return bytes > 4L * RuleDocument.MaxCharacters
                ? Outcome<RuleSettings>.Refuse(new Refusal("document-too-long", "", $"the file has {bytes} bytes", $"at most {RuleDocument.MaxCharacters} characters are read", "Check that this is a document of interlock limits."))
                : RuleDocument.Read(File.ReadAllText(place, Encoding.UTF8));
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException or SecurityException)
        {
            return Outcome<RuleSettings>.Refuse(new Refusal("limits-not-readable", "", "the interlock limits cannot be read", fault.Message.TrimEnd('.'), "Make the file readable, or take it away for the defaults."));
        }
    }

    /// <summary>For a bench, which is not put together while its limits are at fault: somebody meant them to be tighter.</summary>
    /// <exception cref="BenchStartException">The document is at fault.</exception>
    public static RuleSettings ReadForBench(string dataDirectory)
    {
        var read = Read(dataDirectory);
        if (read.IsAccepted) return read.Value;
        var more = read.Refusals.Count == 1 ? "" : $" And {read.Refusals.Count - 1} more: see sweeprig interlocks.";
        throw new BenchStartException($"{PlaceOf(dataDirectory)} {read.Refusals[0]}{more}", badInput: true);
    }
}
