using System.Diagnostics;

namespace SweepRig.Benchmarks.Mutations;

public enum MutationResult
{
    /// <summary>The test failed without the protection, as it must.</summary>
    Noticed,

    /// <summary>The test passed without the protection.</summary>
    Unnoticed,

    /// <summary>The changed source does not build, so nothing is shown.</summary>
    DoesNotBuild,

    /// <summary>The test fails with the protection in place, or does not run: nothing is shown.</summary>
    NoBaseline,
}

/// <summary>Takes protections out of a copy of the checkout, one at a time, and runs the test that each row names.</summary>
internal sealed class MutationRun(string root)
{
    private const string Firmware = "firmware-notes/reference";

    private static readonly TimeSpan Limit = TimeSpan.FromMinutes(5);

    public async Task<MutationResult> TryAsync(Protection protection, Mutation mutation)
    {
        if (!await BuildAsync(protection) || !await PassesAsync(protection)) return MutationResult.NoBaseline;
        var path = Path.Combine(root, mutation.File);
        var whole = await File.ReadAllTextAsync(path);
        try
        {
            await File.WriteAllTextAsync(path, mutation.Apply(whole));
            if (!await BuildAsync(protection)) return MutationResult.DoesNotBuild;
            return await PassesAsync(protection) ? MutationResult.Unnoticed : MutationResult.Noticed;
        }
        finally
        {
            await File.WriteAllTextAsync(path, whole);
        }
    }

    private async Task<bool> BuildAsync(Protection protection) => protection.IsFirmware
        ? (await RunAsync("make", "-C", Firmware, "build/tests/check")).Good
        // Analyzers would refuse what a change leaves unused; that is not what is asked here.
        : (await RunAsync("dotnet", "build", $"tests/{protection.Project}", "-c", "Release", "-nologo", "-v", "quiet", "-p:BuildDashboard=false", "-p:TreatWarningsAsErrors=false", "-p:RunAnalyzers=false")).Good;

    private async Task<bool> PassesAsync(Protection protection)
    {
        if (protection.IsFirmware)
        {
            var check = await RunAsync(Path.Combine(root, Firmware, "build/tests/check"));
            return check.Good || !FirmwareFailures.In(check.Said, Path.Combine(root, Firmware)).Contains(protection.Test);
        }
        var (good, said) = await RunAsync("dotnet", $"tests/{protection.Project}/bin/Release/net10.0/{protection.Project}.dll", "-method", $"*.{protection.Test}");
        // A filter that matches nothing passes; that is no pass.
        return good && !said.Contains("Total: 0,", StringComparison.Ordinal);
    }

    private async Task<(bool Good, string Said)> RunAsync(string program, params string[] arguments)
    {
        var start = new ProcessStartInfo(program, arguments) { WorkingDirectory = root, RedirectStandardOutput = true, RedirectStandardError = true };
        using var process = Process.Start(start)!;
        using var limit = new CancellationTokenSource(Limit);
        var output = process.StandardOutput.ReadToEndAsync(limit.Token);
        var errors = process.StandardError.ReadToEndAsync(limit.Token);
        try
        {
            await process.WaitForExitAsync(limit.Token);
            return (process.ExitCode == 0, await output + await errors);
        }
        catch (OperationCanceledException)
        {
            // A protection taken out may leave a test waiting for ever, which is a failure too.
            process.Kill(entireProcessTree: true);
            return (false, "");
        }
    }
}
