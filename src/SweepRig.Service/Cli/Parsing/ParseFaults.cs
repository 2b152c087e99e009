using System.CommandLine;
using System.CommandLine.Parsing;
using SweepRig.Domain.Plans.Reading;

namespace SweepRig.Service.Cli.Parsing;

/// <summary>Says what is wrong with a command line, one line a fault.</summary>
public static class ParseFaults
{
    public static IReadOnlyList<string> Of(ParseResult result)
    {
        var command = result.CommandResult.Command;
        var help = $"See {FullName(command)} --help.";
        var lines = new List<string>();
        foreach (var token in result.UnmatchedTokens) lines.Add($"{Unknown(token, command)} {help}");
        foreach (var error in result.Errors)
        {
            // The parser's own words for an unknown token would be a second line about the same thing.
            if (result.UnmatchedTokens.Any(t => error.Message.Contains($"'{t}'", StringComparison.Ordinal)) && error.SymbolResult is CommandResult) continue;
            if (error.Message.StartsWith("Required argument missing", StringComparison.Ordinal))
            {
                var missing = command.Arguments.Where(a => result.GetResult(a) is not { Tokens.Count: > 0 }).Select(a => a.Name);
                lines.Add(error.SymbolResult is OptionResult { Option.Name: var option } ? $"{option} without a value. {help}" : $"{string.Join(", ", missing)} missing. {help}");
                continue;
            }
            lines.Add(error.SymbolResult is OptionResult or ArgumentResult && error.Message.Contains(": allowed is", StringComparison.Ordinal)
                ? error.Message
                : $"{error.Message} {help}");
        }
        return [.. lines.Distinct()];
    }

    private static string Unknown(string token, Command command)
    {
        var isOption = token.StartsWith('-');
        var known = isOption
            ? Lineage(command).SelectMany(c => c.Options.Where(o => o.Recursive || c == command)).SelectMany(o => o.Aliases.Prepend(o.Name)).ToArray()
            : command.Subcommands.Select(c => c.Name).ToArray();
        var what = isOption ? "option" : known.Length > 0 ? "command" : "argument";
        var guess = NearestKey.Of(token, known) is { } nearest ? $" Did you mean {nearest}?" : "";
        return $"{FullName(command)} has no {what} {token}.{guess}";
    }

    private static string FullName(Command command) => string.Join(' ', Lineage(command).Reverse().Select(c => c.Name));

    private static IEnumerable<Command> Lineage(Command command)
    {
        for (Command? c = command; c is not null; c = c.Parents.OfType<Command>().FirstOrDefault()) yield return c;
    }
}
