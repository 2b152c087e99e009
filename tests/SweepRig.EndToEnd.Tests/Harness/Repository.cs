using System.Runtime.CompilerServices;

namespace SweepRig.EndToEnd.Tests.Harness;

/// <summary>Where things lie in the checkout that this was built from.</summary>
public static class Repository
{
    public static string Root { get; } = FindRoot();

    /// <summary>The service as built beside this harness, in the same configuration.</summary>
    public static string Executable { get; } = Path.Combine(Root, "src", "SweepRig.Service", "bin", Configuration, "net10.0", "sweeprig");

#if DEBUG
    private const string Configuration = "Debug";
#else
    private const string Configuration = "Release";
#endif

    private static string FindRoot([CallerFilePath] string here = "")
    {
        var directory = new DirectoryInfo(Path.GetDirectoryName(here)!);
        while (directory is not null && !File.Exists(Path.Combine(directory.FullName, "SweepRig.sln"))) directory = directory.Parent;
        return directory?.FullName ?? throw new InvalidOperationException($"No SweepRig.sln above {here}.");
    }
}
