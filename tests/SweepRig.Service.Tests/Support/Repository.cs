using System.Runtime.CompilerServices;

namespace SweepRig.Service.Tests.Support;

/// <summary>The checkout that this was built from.</summary>
public static class Repository
{
    public static string Root { get; } = FindRoot();

    public static string At(params string[] parts) => Path.Combine([Root, .. parts]);

    private static string FindRoot([CallerFilePath] string here = "")
    {
        var directory = new DirectoryInfo(Path.GetDirectoryName(here)!);
        while (directory is not null && !File.Exists(Path.Combine(directory.FullName, "SweepRig.sln"))) directory = directory.Parent;
        return directory?.FullName ?? throw new InvalidOperationException($"No SweepRig.sln above {here}.");
    }
}
