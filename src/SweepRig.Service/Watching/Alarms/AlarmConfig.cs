using SweepRig.Domain.Watching;

namespace SweepRig.Service.Watching.Alarms;

/// <summary>Where alarms go, as the file <see cref="AlarmDocument.FileName"/> in the data directory says.</summary>
/// <param name="MostPerHour">Messages that a way takes in an hour; what is more waits and goes out together.</param>
/// <param name="Gather">Events of one kind at one rig within this time of the first go out as one message.</param>
public sealed record AlarmConfig(IReadOnlyList<AlarmWay> Ways, IReadOnlyList<AlarmRule> Rules, int MostPerHour, TimeSpan Gather, HeartbeatConfig? Heartbeat, ReportConfig? Report)
{
    /// <summary>Without a file nothing goes anywhere.</summary>
    public static AlarmConfig None { get; } = new([], [], 12, TimeSpan.FromMinutes(10), null, null);
}

/// <summary>Which events go where. An event goes to a way once, however many rules say so.</summary>
/// <param name="Kinds">Only of these kinds; empty for all.</param>
/// <param name="Rigs">Only of these rigs, and what concerns the whole bench; empty for all.</param>
/// <param name="To">Names of ways.</param>
public sealed record AlarmRule(EventSeverity Least, IReadOnlyList<EventKind> Kinds, IReadOnlyList<string> Rigs, IReadOnlyList<string> To)
{
    public bool Holds(BenchEvent one) =>
        one.Severity >= Least && (Kinds.Count == 0 || Kinds.Contains(one.Kind)) && (Rigs.Count == 0 || one.Rig is null || Rigs.Contains(one.Rig));
}

/// <param name="Timeout">Given to one attempt.</param>
public abstract record AlarmWay(string Name, TimeSpan Timeout)
{
    /// <summary>Word of the document.</summary>
    public abstract string Kind { get; }

    /// <summary>Where it leads, in words that give away no secret.</summary>
    public abstract string Where { get; }

    /// <param name="Secret">Signs each message; null for none.</param>
    public sealed record Webhook(string Name, TimeSpan Timeout, Uri Url, SecretSource? Secret) : AlarmWay(Name, Timeout)
    {
        public override string Kind => "webhook";

        // A query or user name in an address is often the secret itself.
        public override string Where => Url.GetComponents(UriComponents.SchemeAndServer | UriComponents.Path, UriFormat.UriEscaped);
    }

    /// <param name="User">To sign in with; null for none.</param>
    /// <param name="TrustedCertificate">PEM file of the certificate that the server must show, where no authority vouches for it; null for the usual check.</param>
    public sealed record Mail(
        string Name, TimeSpan Timeout, string Host, int Port, MailSecurity Security, string? User, SecretSource? Password, string From, IReadOnlyList<string> To, string? TrustedCertificate) : AlarmWay(Name, Timeout)
    {
        public override string Kind => "mail";

        public override string Where => $"{string.Join(", ", To)} by {Host}:{Port}";
    }

    /// <param name="Arguments">As they are given to the program: no shell reads them.</param>
    public sealed record Command(string Name, TimeSpan Timeout, string Program, IReadOnlyList<string> Arguments) : AlarmWay(Name, Timeout)
    {
        public override string Kind => "command";

        public override string Where => Program;
    }
}

public enum MailSecurity
{
    /// <summary>Encrypted from the first byte (RFC 8314, implicit TLS; port 465).</summary>
    Tls,

    /// <summary>Encrypted after STARTTLS (RFC 3207; port 587), or not at all sent.</summary>
    StartTls,

    /// <summary>Not encrypted; only to a server on this machine.</summary>
    None,
}

/// <summary>Where a secret is read from each time that it is used: the document itself never holds one.</summary>
/// <param name="File">Path of a file with the secret in its first line; null for a variable.</param>
/// <param name="Variable">Name of an environment variable; null for a file.</param>
public sealed record SecretSource(string? File, string? Variable)
{
    /// <exception cref="AlarmFailedException">It cannot be read, or is empty.</exception>
    public string Read()
    {
        string? text;
        try
        {
            text = File is not null ? System.IO.File.ReadLines(File).FirstOrDefault()?.Trim() : Environment.GetEnvironmentVariable(Variable!);
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            throw new AlarmFailedException($"the secret in {File} cannot be read: {fault.Message.TrimEnd('.')}", isFinal: true);
        }
        return string.IsNullOrEmpty(text)
            ? throw new AlarmFailedException(File is not null ? $"the file {File} holds no secret in its first line" : $"the variable {Variable} is not set for the service", isFinal: true)
            : text;
    }
}

/// <summary>A sign of life, by whose absence the outside learns of a machine that is dead: nothing here could tell that.</summary>
/// <param name="Url">Gets a POST; null for none.</param>
/// <param name="File">Is written anew; null for none.</param>
public sealed record HeartbeatConfig(TimeSpan Every, Uri? Url, string? File);

/// <summary>When the morning report is made, and where it is mailed to.</summary>
/// <param name="At">Local time of day.</param>
/// <param name="Zone">The zone of that time.</param>
/// <param name="To">Names of mail ways; may be empty.</param>
public sealed record ReportConfig(TimeOnly At, TimeZoneInfo Zone, IReadOnlyList<string> To);
