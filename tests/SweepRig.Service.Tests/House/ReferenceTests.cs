using System.Text.RegularExpressions;
using System.Xml.Linq;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.House;

/// <summary>Which project may use which, and where the names of the outside world may stand.</summary>
public sealed partial class ReferenceTests
{
    private static readonly Dictionary<string, string[]> Allowed = new()
    {
        ["Domain"] = [],
        ["Tubes"] = ["Domain"],
        ["Rigs"] = ["Tubes", "Domain"],
        ["Analysis"] = ["Tubes", "Domain"],
        ["Storage"] = ["Domain"],
        ["Sweeps"] = ["Tubes", "Rigs", "Analysis", "Domain"],
        ["Logic"] = ["Tubes", "Analysis", "Domain"],
        ["Service"] = ["Domain", "Tubes", "Rigs", "Analysis", "Storage", "Sweeps", "Logic"],
    };

    /// <summary>Namespace, and the folders that alone may name it.</summary>
    private static readonly Dictionary<string, string[]> Places = new()
    {
        ["System.IO.Ports"] = ["src/SweepRig.Rigs/Serial/"],
        ["Iot.Device"] = ["src/SweepRig.Rigs/Bus/"],
        ["System.Device"] = ["src/SweepRig.Rigs/Bus/"],
        ["UnitsNet"] = ["src/SweepRig.Rigs/Bus/"],
        ["Microsoft.EntityFrameworkCore"] = ["src/SweepRig.Storage/"],
        ["Microsoft.Data.Sqlite"] = ["src/SweepRig.Storage/"],
        ["SQLitePCL"] = ["src/SweepRig.Storage/"],
        ["Npgsql"] = ["src/SweepRig.Storage/"],
        ["Microsoft.AspNetCore"] = ["src/SweepRig.Service/"],
        ["ScottPlot"] = ["src/SweepRig.Service/Reports/"],
        ["QRCoder"] = ["src/SweepRig.Service/Reports/"],
        ["SkiaSharp"] = ["src/SweepRig.Service/Reports/"],
        ["OpenTelemetry"] = ["src/SweepRig.Service/Telemetry/"],
        ["MailKit"] = ["src/SweepRig.Service/Watching/Alarms/"],
        ["MimeKit"] = ["src/SweepRig.Service/Watching/Alarms/"],
        ["SweepRig.Service"] = ["src/SweepRig.Service/"],
    };

    public static TheoryData<string> Namespaces => [.. Places.Keys];

    [Fact]
    public void Every_project_is_known_to_this_test()
    {
        var projects = Directory.EnumerateDirectories(Repository.At("src"), "SweepRig.*").Select(d => Path.GetFileName(d).Replace("SweepRig.", "", StringComparison.Ordinal));
        Assert.Equal(Allowed.Keys.Order(StringComparer.Ordinal), projects.Order(StringComparer.Ordinal));
    }

    [Fact]
    public void Projects_refer_only_to_those_below_them()
    {
        foreach (var (project, allowed) in Allowed)
        {
            var file = XDocument.Load(Repository.At("src", $"SweepRig.{project}", $"SweepRig.{project}.csproj"));
            var referred = file.Descendants("ProjectReference").Select(r => ProjectName().Match((string)r.Attribute("Include")!).Groups[1].Value).ToList();
            Assert.All(referred, r => Assert.True(allowed.Contains(r), $"{project} refers to {r}; allowed is {string.Join(", ", allowed)}."));
        }
    }

    [Theory]
    [MemberData(nameof(Namespaces))]
    public void Names_of_the_outside_world_stand_in_one_place(string name)
    {
        var strays = SourceTree.Under("src/", ".cs").Where(f => !Places[name].Any(p => f.StartsWith(p, StringComparison.Ordinal)) && Names(SourceTree.Read(f), name)).ToList();
        Assert.True(strays.Count == 0, $"{name} is named outside {string.Join(", ", Places[name])}: {string.Join(", ", strays)}");
    }

    [Fact]
    public void The_compiler_agrees()
    {
        // What a project really uses, whatever its source says: taken from the assemblies themselves.
        foreach (var (project, allowed) in Allowed.Where(a => a.Key != "Service"))
        {
            var assembly = System.Reflection.Assembly.Load($"SweepRig.{project}");
            var used = assembly.GetReferencedAssemblies().Select(a => a.Name!).ToList();
            Assert.All(used.Where(u => u.StartsWith("SweepRig.", StringComparison.Ordinal)), u => Assert.Contains(u["SweepRig.".Length..], allowed));
            Assert.DoesNotContain(used, u => u.StartsWith("Microsoft.AspNetCore", StringComparison.Ordinal) || u == "sweeprig");
            if (project != "Rigs") Assert.DoesNotContain(used, u => u is "System.IO.Ports" or "Iot.Device.Bindings" or "System.Device.Gpio");
            if (project != "Storage") Assert.DoesNotContain(used, u => u.Contains("Sqlite", StringComparison.OrdinalIgnoreCase) || u.Contains("EntityFramework", StringComparison.Ordinal));
        }
    }

    [Theory]
    [InlineData("using System.IO.Ports;", true)]
    [InlineData("var p = new System.IO.Ports.SerialPort();", true)]
    [InlineData("// System.IO.Ports is elsewhere", false)]
    [InlineData("using SomeSystem.IO.PortsOfCall;", false)]
    public void A_name_in_code_is_told_from_one_in_a_comment(string code, bool named) => Assert.Equal(named, Names(code, "System.IO.Ports"));

    private static bool Names(string source, string name) =>
        Regex.IsMatch(Comment().Replace(source, ""), $@"(?<![\w.]){Regex.Escape(name)}(?!\w)");

    [GeneratedRegex(@"SweepRig\.(\w+)\.csproj$")]
    private static partial Regex ProjectName();

    [GeneratedRegex(@"//[^\n]*")]
    private static partial Regex Comment();
}
