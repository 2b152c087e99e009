using Npgsql;

namespace SweepRig.Storage.Databases;

/// <summary>Reads how a PostgreSQL database is reached.</summary>
/// <param name="Settings">Whole settings, with the limits that a bench needs filled in.</param>
internal sealed record PostgresAddress(NpgsqlConnectionStringBuilder Settings)
{
    /// <summary>In the words of messages, without password.</summary>
    public string Name => $"PostgreSQL database {Settings.Database} on {Settings.Host}{(Settings.Host?.StartsWith('/') == true ? "" : $":{Settings.Port}")}";

    /// <param name="connection">Key=value pairs, or an address like postgresql://user@host/database (https://www.postgresql.org/docs/current/libpq-connect.html, 34.1.1.2).</param>
    /// <exception cref="RunStoreException">It is neither, or names no host or database. The text itself is not repeated: it may hold a password.</exception>
    public static PostgresAddress Read(string connection)
    {
        try
        {
            var text = connection.Trim();
            var settings = text.StartsWith("postgres://", StringComparison.Ordinal) || text.StartsWith("postgresql://", StringComparison.Ordinal) ? OfUri(text) : new NpgsqlConnectionStringBuilder(text);
            if (settings is not { Host.Length: > 0, Database.Length: > 0 }) throw Unreadable("it names no host or no database");
            settings.ApplicationName ??= "sweeprig";
            // A server that is silent must be known as away while a sweep runs, and not minutes later.
            var usual = new NpgsqlConnectionStringBuilder();
            if (settings.Timeout == usual.Timeout) settings.Timeout = 5;
            if (settings.CommandTimeout == usual.CommandTimeout) settings.CommandTimeout = 10;
            if (settings.KeepAlive == usual.KeepAlive) settings.KeepAlive = 5;
            settings.PersistSecurityInfo = false;
            return new(settings);
        }
        catch (Exception fault) when (fault is ArgumentException or FormatException or UriFormatException or InvalidOperationException)
        {
            throw Unreadable("it is not readable");
        }
    }

    private static RunStoreException Unreadable(string why) =>
        new("The connection to PostgreSQL", $"{why}.", "Write it like Host=bench-pc;Database=sweeprig;Username=sweeprig or like postgresql://sweeprig@bench-pc/sweeprig.");

    private static NpgsqlConnectionStringBuilder OfUri(string text)
    {
        var uri = new Uri(text);
        var user = uri.UserInfo.Split(':', 2);
        var settings = new NpgsqlConnectionStringBuilder { Host = Uri.UnescapeDataString(uri.Host), Database = Uri.UnescapeDataString(uri.AbsolutePath.TrimStart('/')) };
        if (uri.Port > 0) settings.Port = uri.Port;
        if (user[0].Length > 0) settings.Username = Uri.UnescapeDataString(user[0]);
        if (user.Length > 1) settings.Password = Uri.UnescapeDataString(user[1]);
        foreach (var pair in uri.Query.TrimStart('?').Split('&', StringSplitOptions.RemoveEmptyEntries))
        {
            var (key, value) = pair.Split('=', 2) is [var k, var v] ? (Uri.UnescapeDataString(k), Uri.UnescapeDataString(v)) : (pair, "");
            // libpq's spelling of the two that people use most.
            settings[key switch { "sslmode" => "SSL Mode", "application_name" => "Application Name", _ => key }] = value;
        }
        return settings;
    }
}
