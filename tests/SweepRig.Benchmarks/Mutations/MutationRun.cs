namespace SweepRig.Benchmarks.Mutations;

/// <summary>
/// Takes protections out of a copy of the checkout, one at a time, and runs the test that each row names. A test project is built once; of a change only the assembly that it lies in is compiled,
/// and put in the place of the one that the tests were built with.
/// </summary>
internal sealed class MutationRun(string root)
{
    private const string Firmware = "firmware-notes/reference";

    /// <summary>A test project is built with all that it needs, on a machine that may be busy.</summary>
    private static readonly TimeSpan BuildWithin = TimeSpan.FromMinutes(20);

    private readonly Dictionary<string, bool> _built = [];
    private readonly Dictionary<string, bool> _passes = [];
    private readonly Dictionary<string, OneAssembly> _assemblies = [];

    public async Task<MutationResult> TryAsync(Protection protection, Mutation mutation)
    {
        // What was made of a change of the firmware lies about until it is made anew.
        if (!(protection.IsFirmware ? await BuildAsync(protection) : await OnceAsync(_built, protection.Project, () => BuildAsync(protection)))) return MutationResult.NoBaseline;
        var changed = mutation.File.StartsWith("src/", StringComparison.Ordinal) ? mutation.File.Split('/')[1] : null;
        if (!await OnceAsync(_passes, $"{protection.Project} {protection.Test} {changed}", () => BaselineAsync(protection, changed))) return MutationResult.NoBaseline;
        var path = Path.Combine(root, mutation.File);
        var whole = await File.ReadAllTextAsync(path);
        try
        {
            await File.WriteAllTextAsync(path, mutation.Apply(whole));
            // Whatever lies elsewhere (parts of the wiring, firmware for an emulated board) the tests themselves read or build.
            if (protection.IsFirmware) return await BuildAsync(protection) ? await EndAsync(protection) : MutationResult.DoesNotBuild;
            return changed is not null ? await InAssemblyAsync(protection, changed) : await EndAsync(protection);
        }
        finally
        {
            await File.WriteAllTextAsync(path, whole);
        }
    }

    private static async Task<bool> OnceAsync(Dictionary<string, bool> known, string key, Func<Task<bool>> find)
    {
        if (!known.TryGetValue(key, out var found)) known[key] = found = await find();
        return found;
    }

    /// <summary>With nothing changed the test passes, also with the assembly compiled as a change of it will be: else a change might be noticed for the way in which it is compiled.</summary>
    private async Task<bool> BaselineAsync(Protection protection, string? project) =>
        await PassesAsync(protection) && (project is null || await InAssemblyAsync(protection, project) == MutationResult.Unnoticed);

    private async Task<MutationResult> InAssemblyAsync(Protection protection, string project)
    {
        if (!_assemblies.TryGetValue(project, out var assembly)) _assemblies[project] = assembly = await OneAssembly.OfAsync(root, project);
        var place = Path.Combine(root, "tests", protection.Project, "bin/Release/net10.0", $"{NameOf(project)}.dll");
        var built = await File.ReadAllBytesAsync(place);
        try
        {
            return await assembly.CompileAsync(place) ? await EndAsync(protection) : MutationResult.DoesNotBuild;
        }
        finally
        {
            await File.WriteAllBytesAsync(place, built);
        }
    }

    // The service's assembly is called as its command is.
    private string NameOf(string project) =>
        (string?)System.Xml.Linq.XDocument.Load(Path.Combine(root, "src", project, project + ".csproj")).Descendants("AssemblyName").FirstOrDefault() ?? project;

    private async Task<MutationResult> EndAsync(Protection protection) => await PassesAsync(protection) ? MutationResult.Unnoticed : MutationResult.Noticed;

    private async Task<bool> BuildAsync(Protection protection) => protection.IsFirmware
        ? (await Command.RunAsync(root, "make", "-C", Firmware, "build/tests/check")).Good
        : (await Command.RunAsync(BuildWithin, root, "dotnet", "build", $"tests/{protection.Project}", "-c", "Release", "-nologo", "-v", "quiet", "-p:BuildDashboard=false", "-p:RunAnalyzers=false")).Good;

    private async Task<bool> PassesAsync(Protection protection)
    {
        if (protection.IsFirmware)
        {
            var check = await Command.RunAsync(root, Path.Combine(root, Firmware, "build/tests/check"));
            return check.Good || !FirmwareFailures.In(check.Said, Path.Combine(root, Firmware)).Contains(protection.Test);
        }
        var (good, said) = await Command.RunAsync(root, "dotnet", $"tests/{protection.Project}/bin/Release/net10.0/{protection.Project}.dll", "-method", $"*.{protection.Test}");
        // A filter that matches nothing passes; that is no pass.
        return good && !said.Contains("Total: 0,", StringComparison.Ordinal);
    }
}
