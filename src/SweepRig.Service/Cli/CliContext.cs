using SweepRig.Service.Cli.Terminal;
using SweepRig.Storage;

namespace SweepRig.Service.Cli;

/// <summary>What a command has around it, so that a test can give it something else.</summary>
/// <param name="Terminal">Where it writes.</param>
/// <param name="Input">What is piped into it.</param>
/// <param name="Time">The clock.</param>
/// <param name="Variable">Looks up an environment variable; null when it is not set.</param>
public sealed record CliContext(CliTerminal Terminal, TextReader Input, TimeProvider Time, Func<string, string?> Variable)
{
    /// <summary>Connection to the shared store that was asked for; null for the file in the data directory. May hold a password: never shown.</summary>
    public string? Postgres { get; init; }

    /// <summary>The store that a command works on.</summary>
    /// <param name="data">The data directory as given; null for the usual one.</param>
    public StorePlace Store(string? data) => new(DataPlace.Of(data, Variable), Postgres);

    /// <summary>Store or directory, in the words of messages.</summary>
    public string StoreName(string? data) => Postgres is null ? DataPlace.Of(data, Variable) : Store(data).Name;
}
