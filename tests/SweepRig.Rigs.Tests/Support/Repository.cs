namespace SweepRig.Rigs.Tests.Support;

/// <summary>The checkout that this was built in.</summary>
internal static class Repository
{
    private static readonly string Root = FindRoot();

    public static string At(params string[] parts) => Path.Combine([Root, .. parts]);

    private static string FindRoot()
    {
        for (var directory = new DirectoryInfo(AppContext.BaseDirectory); directory is not null; directory = directory.Parent)
            if (File.Exists(Path.Combine(directory.FullName, "SweepRig.sln"))) return directory.FullName;
        throw new InvalidOperationException($"No SweepRig.sln above {AppContext.BaseDirectory}.");
    }
}
