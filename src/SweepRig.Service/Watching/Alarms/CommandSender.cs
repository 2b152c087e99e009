using System.ComponentModel;
using System.Diagnostics;

namespace SweepRig.Service.Watching.Alarms;

/// <summary>Runs a program of this machine with a message as JSON on its standard input. No shell is between, so that no text of an event can become a command.</summary>
public static class CommandSender
{
    private const int LongestComplaint = 200;

    /// <exception cref="AlarmFailedException">It could not be run, took too long, or ended with another code than 0.</exception>
    public static async Task SendAsync(AlarmWay.Command way, AlarmMessage message, CancellationToken cancellationToken)
    {
        var start = new ProcessStartInfo(way.Program) { UseShellExecute = false, RedirectStandardInput = true, RedirectStandardError = true, RedirectStandardOutput = true, WorkingDirectory = Path.GetTempPath() };
        foreach (var argument in way.Arguments) start.ArgumentList.Add(argument);
        using var process = new Process { StartInfo = start };
        try
        {
            process.Start();
        }
        catch (Win32Exception fault)
        {
            throw new AlarmFailedException($"{way.Program} cannot be run: {fault.Message.TrimEnd('.')}", isFinal: true, inner: fault);
        }
        try
        {
            var complaint = process.StandardError.ReadToEndAsync(cancellationToken);
            var output = process.StandardOutput.ReadToEndAsync(cancellationToken);
            try
            {
                await process.StandardInput.BaseStream.WriteAsync(message.Body(), cancellationToken);
                process.StandardInput.Close();
            }
            catch (IOException)
            {
                // A program may end without reading; its code says whether that was meant.
            }
            await process.WaitForExitAsync(cancellationToken);
            var said = (await complaint).Trim().ReplaceLineEndings(" ");
            await output;
            if (process.ExitCode != 0) throw new AlarmFailedException($"{way.Program} ended with code {process.ExitCode}{(said.Length == 0 ? "" : $": {(said.Length <= LongestComplaint ? said : said[..LongestComplaint] + "...")}")}", isFinal: false);
        }
        catch (OperationCanceledException)
        {
            process.Kill(entireProcessTree: true);
            throw;
        }
    }
}
