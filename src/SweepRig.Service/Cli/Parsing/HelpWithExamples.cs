using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Invocation;

namespace SweepRig.Service.Cli.Parsing;

/// <summary>The parser's own help, and the examples below it.</summary>
public sealed class HelpWithExamples(HelpAction help, int width) : SynchronousCommandLineAction
{
    public override bool ClearsParseErrors => true;

    public override int Invoke(ParseResult parseResult)
    {
        help.MaxWidth = width;
        help.Invoke(parseResult);
        var output = parseResult.InvocationConfiguration.Output;
        if (parseResult.CommandResult.Command is ExampledCommand { Notes: var notes })
            foreach (var line in notes) output.WriteLine(line);
        if (parseResult.CommandResult.Command is ExampledCommand { Examples: { Count: > 0 } examples })
        {
            output.WriteLine("Examples:");
            foreach (var example in examples)
            {
                output.WriteLine($"  {example.CommandLine}");
                output.WriteLine($"      {example.Explains}");
            }
            output.WriteLine();
        }
        return ExitCode.Good;
    }
}
