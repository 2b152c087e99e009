using System.ComponentModel;
using System.Diagnostics;

namespace SweepRig.Wire.Exploration;

/// <summary>The firmware's core as a library, built by its Makefile: as it is, or a copy of its source with one text changed.</summary>
internal static class FirmwareLibrary
{
    private const string Reference = "firmware-notes/reference";

    private static readonly TimeSpan BuildWithin = TimeSpan.FromMinutes(2);

    /// <returns>Path of the library.</returns>
    public static string Build() => Make(Path.Combine(Root(), Reference));

    /// <summary>Builds a changed copy.</summary>
    /// <param name="into">An empty folder; the library lies in it afterwards.</param>
    /// <param name="file">Path of the file that is changed, from the top of the project.</param>
    /// <param name="change">Gives the file's new text.</param>
    public static string BuildChanged(string into, string file, Func<string, string> change)
    {
        foreach (var part in new[] { "core", "boards/explored", "boards/host" })
        {
            Directory.CreateDirectory(Path.Combine(into, part));
            foreach (var source in Directory.EnumerateFiles(Path.Combine(Root(), Reference, part)))
                File.Copy(source, Path.Combine(into, part, Path.GetFileName(source)));
        }
        foreach (var source in new[] { "Makefile", "rig_config.h" }) File.Copy(Path.Combine(Root(), Reference, source), Path.Combine(into, source));
        var changed = Path.Combine(into, Path.GetRelativePath(Reference, file));
        File.WriteAllText(changed, change(File.ReadAllText(changed)));
        return Make(into, "WARNINGS=-std=c11");
    }

    public static string Root()
    {
        var directory = new DirectoryInfo(AppContext.BaseDirectory);
        while (directory is not null && !File.Exists(Path.Combine(directory.FullName, "SweepRig.sln"))) directory = directory.Parent;
        return directory?.FullName ?? throw new InvalidOperationException($"No SweepRig.sln above {AppContext.BaseDirectory}.");
    }

    private static string Make(string folder, params string[] settings)
    {
        const string library = "build/explored/librig.so";
        var start = new ProcessStartInfo("make", ["-s", "-j2", "-C", folder, library, .. settings]) { RedirectStandardError = true, RedirectStandardOutput = true };
        using var make = Process.Start(start) ?? throw new Win32Exception("make did not start");
        var errors = make.StandardError.ReadToEndAsync();
        var output = make.StandardOutput.ReadToEndAsync();
        if (!make.WaitForExit(BuildWithin)) throw new TimeoutException($"make {library} took longer than {BuildWithin}.");
        if (make.ExitCode != 0) throw new InvalidOperationException($"make {library} ended with {make.ExitCode}: {errors.Result}{output.Result}");
        return Path.Combine(folder, library);
    }
}
