using SweepRig.Service.Cli.Terminal;

namespace SweepRig.Service.Cli;

/// <summary>What a command has around it, so that a test can give it something else.</summary>
/// <param name="Terminal">Where it writes.</param>
/// <param name="Input">What is piped into it.</param>
/// <param name="Time">The clock.</param>
/// <param name="Variable">Looks up an environment variable; null when it is not set.</param>
public sealed record CliContext(CliTerminal Terminal, TextReader Input, TimeProvider Time, Func<string, string?> Variable);
