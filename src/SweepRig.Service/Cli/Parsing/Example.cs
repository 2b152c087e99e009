using System.CommandLine;

namespace SweepRig.Service.Cli.Parsing;

/// <summary>A command line to copy.</summary>
public sealed record Example(string CommandLine, string Explains);

/// <summary>A command whose help ends with examples.</summary>
internal sealed class ExampledCommand(string name, string description, params Example[] examples) : Command(name, description)
{
    public IReadOnlyList<Example> Examples => examples;

    /// <summary>Lines of the help above the examples, such as a list of words.</summary>
    public IReadOnlyList<string> Notes { get; init; } = [];
}
