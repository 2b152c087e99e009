using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.House;

/// <summary>The files of the project that people write: no build output, no packages, no lock files.</summary>
internal static class SourceTree
{
    private static readonly string[] NotOurs = ["bin", "obj", "build", "node_modules", "dist", ".git", "TestResults", "BenchmarkDotNet.Artifacts", ".vs", ".idea"];

    private static readonly string[] Binary = [".png", ".bin", ".ico", ".woff2", ".db", ".parquet", ".gz"];

    /// <summary>Paths relative to the root, with forward slashes.</summary>
    public static IReadOnlyList<string> Files { get; } = [.. Walk(new DirectoryInfo(Repository.Root)).Order(StringComparer.Ordinal)];

    public static IEnumerable<string> Under(string folder, params string[] extensions) =>
        Files.Where(f => f.StartsWith(folder, StringComparison.Ordinal) && extensions.Contains(Path.GetExtension(f)));

    public static string Read(string file) => File.ReadAllText(Path.Combine(Repository.Root, file));

    private static IEnumerable<string> Walk(DirectoryInfo directory)
    {
        foreach (var file in directory.EnumerateFiles())
        {
            var isLock = file.Name is "packages.lock.json" or "package-lock.json";
            // Types made from the API document by the dashboard's build.
            var isGenerated = file.Name == "schema.d.ts";
            if (!isLock && !isGenerated && file.Name != ".git" && !Binary.Contains(file.Extension))
                yield return Path.GetRelativePath(Repository.Root, file.FullName).Replace('\\', '/');
        }
        foreach (var child in directory.EnumerateDirectories().Where(d => !NotOurs.Contains(d.Name)))
        {
            foreach (var file in Walk(child)) yield return file;
        }
    }
}
