using System.Diagnostics;

namespace SweepRig.EndToEnd.Tests.Walkthrough;

/// <summary>What stands in a PDF, read by pdftotext (Debian package poppler-utils) and so by none of the project's own code.</summary>
internal static class PdfText
{
    /// <returns>All pages, each line as it lies on the paper.</returns>
    public static async Task<string> OfAsync(string path)
    {
        using var process = Process.Start(new ProcessStartInfo("pdftotext", ["-layout", path, "-"]) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        var cancellation = TestContext.Current.CancellationToken;
        var fault = process.StandardError.ReadToEndAsync(cancellation);
        var text = await process.StandardOutput.ReadToEndAsync(cancellation);
        await process.WaitForExitAsync(cancellation);
        Assert.True(process.ExitCode == 0, await fault);
        return text;
    }
}
