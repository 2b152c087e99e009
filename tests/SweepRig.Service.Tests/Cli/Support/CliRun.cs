using SweepRig.Service.Cli;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Terminal;

namespace SweepRig.Service.Tests.Cli.Support;

/// <summary>One command line, run in this process, with what it wrote.</summary>
public sealed record CliRun(int ExitCode, string Output, string Error)
{
    public string[] ErrorLines => Error.Split('\n', StringSplitOptions.RemoveEmptyEntries);

    /// <param name="seen">Takes what it writes, for a look while it runs; taken whole.</param>
    public static async Task<CliRun> OfAsync(string data, string[] arguments, string input = "", CancellationToken? cancellationToken = null, StringWriter? seen = null)
    {
        using var output = seen ?? new StringWriter();
        output.NewLine = "\n";
        using var error = new StringWriter { NewLine = "\n" };
        var terminal = new CliTerminal(TextWriter.Synchronized(output), error, outputIsTerminal: false, errorIsTerminal: false, colours: false, width: 80);
        using var piped = new StringReader(input);
        var context = new CliContext(terminal, piped, TimeProvider.System, name => name == SharedOptions.DataVariable ? data : null);
        var exit = await CommandLine.RunAsync(arguments, context, cancellationToken ?? TestContext.Current.CancellationToken);
        return new(exit, output.ToString(), error.ToString());
    }
}
