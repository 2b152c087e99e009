using System.Net.Sockets;
using Npgsql;

namespace SweepRig.Storage.Databases;

/// <summary>What a PostgreSQL server says, in words of the user.</summary>
internal static class PostgresFaults
{
    /// <returns>Null when it is no fault of the database.</returns>
    public static RunStoreException? Explain(Exception fault, string name, NpgsqlDataSource source)
    {
        NpgsqlException? cause = null;
        for (var at = fault; at is not null && cause is null; at = at.InnerException)
        {
            if (at is NpgsqlException found) cause = found;
            else if (at is SocketException or TimeoutException && at.TargetSite?.Module.Assembly == typeof(NpgsqlConnection).Assembly) return Away(name, at.Message, fault);
        }
        return cause switch
        {
            null => null,
            PostgresException told => Told(told, name, new NpgsqlConnectionStringBuilder(source.ConnectionString).Username ?? "this user"),
            { InnerException: SocketException or IOException or TimeoutException } => Away(name, cause.InnerException.Message, fault),
            _ when cause.Message.Contains("password", StringComparison.OrdinalIgnoreCase) => new(
                name, "the server wants a password and none was given.", "Put Password=... into the connection, or the password into ~/.pgpass.", fault),
            _ => new(name, $"the connection failed: {cause.Message.TrimEnd('.')}.", "Check the connection and the server's log.", fault) { IsAway = cause.IsTransient },
        };
    }

    private static RunStoreException Away(string name, string why, Exception fault) => new(
        name, $"the server does not answer ({why.TrimEnd('.')}).", "Start it, or check the network and the connection; what was recorded before is kept.", fault) { IsAway = true };

    // Codes: https://www.postgresql.org/docs/current/errcodes-appendix.html
    private static RunStoreException Told(PostgresException told, string name, string user) => told.SqlState switch
    {
        "28P01" => new(name, $"the server refuses {user}: the password is wrong.", "Correct the password in the connection.", told),
        ['2', '8', ..] => new(name, $"the server refuses {user}: {told.MessageText}.", "Correct the user in the connection, or let the server admit it (pg_hba.conf).", told),
        "3D000" => new(name, "there is no such database.", "Make it on the server's computer (createdb), or correct the connection.", told),
        "3F000" or "42501" => new(name, $"the server refuses {user}: {told.MessageText}.", "Make the user owner of the database, or grant it the right.", told),
        "53100" => new(name, "the server's disk is full; the newest samples could not be recorded, all earlier ones are kept.", "Free space on that disk, then start again.", told),
        "53300" => new(name, "the server has no connection left.", "End other programs that use it, or raise max_connections.", told),
        "25006" => new(name, "the database can only be read.", "Connect to the server that takes writes.", told),
        "40001" or "40P01" => new(name, "two benches changed the same at once, and this one gave way; nothing of it was kept.", "Try again.", told),
        ['0', '8', ..] or "57P01" or "57P02" or "57P03" or "57P05" => new(name, $"the server does not answer ({told.MessageText}).", "Start it, or wait until it has started; what was recorded before is kept.", told)
        {
            IsAway = true,
        },
        _ => new(name, $"the run store failed: {told.MessageText} ({told.SqlState}).", "If the server is sound, this is a fault of SweepRig.", told),
    };
}
