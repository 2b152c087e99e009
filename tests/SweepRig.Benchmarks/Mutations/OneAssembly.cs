using System.Text.Json;

namespace SweepRig.Benchmarks.Mutations;

/// <summary>
/// Compiles one project of <c>src</c> again and again, with the arguments that the build gave the compiler but without analyzers: what a change leaves unused is not what is asked.
/// The build itself is asked once.
/// </summary>
internal sealed class OneAssembly
{
    /// <summary>Where things go, and what would refuse a change for its looks.</summary>
    private static readonly string[] LeftOut = ["/out:", "/refout:", "/doc:", "/noconfig", "/warnaserror"];

    private readonly string _folder;
    private readonly string _compiler;
    private readonly string _arguments;

    private OneAssembly(string folder, string compiler, string arguments) => (_folder, _compiler, _arguments) = (folder, compiler, arguments);

    /// <param name="root">A checkout whose project is built.</param>
    /// <param name="project">Its name, as <c>SweepRig.Sweeps</c>.</param>
    /// <exception cref="InvalidOperationException">The build does not say how it compiles the project.</exception>
    public static async Task<OneAssembly> OfAsync(string root, string project)
    {
        var folder = Path.Combine(root, "src", project);
        // As editors ask it: all of a build but the compiler, which is held to be out of date because a file that it wants is nowhere.
        var (good, said) = await Command.RunAsync(folder, "dotnet", "msbuild", "-nologo", "-t:PrepareResources;Compile", "-p:Configuration=Release", "-p:BuildProjectReferences=false", "-p:BuildDashboard=false",
            "-p:ProvideCommandLineArgs=true", "-p:SkipCompilerExecution=true", "-p:NonExistentFile=none/none", "-getItem:CscCommandLineArgs", "-getProperty:RoslynTargetsPath");
        if (!good) throw new InvalidOperationException($"The build does not say how it compiles {project}: {said}");
        using var answer = JsonDocument.Parse(said);
        var given = answer.RootElement.GetProperty("Items").GetProperty("CscCommandLineArgs").EnumerateArray().Select(a => a.GetProperty("Identity").GetString()!).ToList();
        if (given.Count == 0) throw new InvalidOperationException($"The build gives the compiler nothing for {project}.");
        var file = Path.Combine(folder, "obj", "changed.rsp");
        await File.WriteAllLinesAsync(file, [.. given.Where(a => !LeftOut.Any(l => a.StartsWith(l, StringComparison.Ordinal))), "/skipanalyzers+"]);
        var compiler = Path.Combine(answer.RootElement.GetProperty("Properties").GetProperty("RoslynTargetsPath").GetString()!, "bincore", "csc.dll");
        return new(folder, compiler, file);
    }

    /// <returns>Whether it compiles.</returns>
    public async Task<bool> CompileAsync(string to) =>
        (await Command.RunAsync(_folder, "dotnet", _compiler, "/shared", "/noconfig", $"@{_arguments}", $"/out:{to}")).Good;
}
