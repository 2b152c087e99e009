using SweepRig.Service.Cli;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Terminal;

namespace SweepRig.Service.Tests.Cli.Support;

/// <summary>One command line, run in this process, with what it wrote.</summary>
public sealed record CliRun(int ExitCode, string Output, string Error)
{
    public string[] ErrorLines => Error.Split('\n', StringSplitOptions.RemoveEmptyEntries);

    public static async Task<CliRun> OfAsync(string data, string[] arguments, string input = "", CancellationToken? cancellationToken = null)
    {
        using var output = new StringWriter { NewLine = "\n" };
        using var error = new StringWriter { NewLine = "\n" };
        var terminal = new CliTerminal(output, error, outputIsTerminal: false, errorIsTerminal: false, colours: false, width: 80);
        using var piped = new StringReader(input);
        var context = new CliContext(terminal, piped, TimeProvider.System, name => name == SharedOptions.DataVariable ? data : null);
        var exit = await CommandLine.RunAsync(arguments, context, cancellationToken ?? TestContext.Current.CancellationToken);
        return new(exit, output.ToString(), error.ToString());
    }
}
