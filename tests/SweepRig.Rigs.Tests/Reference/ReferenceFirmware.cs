namespace SweepRig.Rigs.Tests.Reference;

/// <summary>Where the reference firmware lies.</summary>
internal static class ReferenceFirmware
{
    public static string Directory { get; } = Find();

    public static string At(params string[] parts) => Path.Combine([Directory, .. parts]);

    private static string Find()
    {
        for (var directory = new DirectoryInfo(AppContext.BaseDirectory); directory is not null; directory = directory.Parent)
        {
            var found = Path.Combine(directory.FullName, "firmware-notes", "reference");
            if (System.IO.Directory.Exists(found)) return found;
        }
        throw new InvalidOperationException($"No firmware-notes/reference above {AppContext.BaseDirectory}.");
    }
}
