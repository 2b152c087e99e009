using System.Net;
using MimeKit;
using SweepRig.Domain.Plans.Reading;

namespace SweepRig.Service.Watching.Alarms;

/// <summary>Reads one way of the document of alarms.</summary>
internal static class WayReader
{
    private const int MostReceivers = 50, MostArguments = 50, LongestText = 2000;
    private const double LeastSeconds = 1, MostSeconds = 120;

    private static readonly string[] Kinds = ["webhook", "mail", "command"];

    public static AlarmWay? Read(ObjectReader way)
    {
        var name = AlarmReader.Name(way);
        var kinds = Kinds.Where(way.Has).ToList();
        if (kinds.Count != 1)
        {
            way.Fault("way-of-no-kind", "name", kinds.Count == 0 ? "the way has none of webhook, mail and command" : $"the way has {string.Join(" and ", kinds)}", "one of the three is needed", "Make a way of its own for each.");
            return null;
        }
        AlarmWay? read = kinds[0] switch
        {
            "webhook" => Webhook(way.Object("webhook", true, "url", "secretFile", "secretVariable", "timeoutSeconds"), name ?? ""),
            "mail" => Mail(way.Object("mail", true, "host", "port", "security", "user", "passwordFile", "passwordVariable", "from", "to", "trustedCertificate", "timeoutSeconds"), name ?? ""),
            _ => Command(way.Object("command", true, "program", "arguments", "timeoutSeconds"), name ?? ""),
        };
        return name is null ? null : read;
    }

    public static Uri? Url(ObjectReader reader)
    {
        if (reader.Line("url", LongestText) is not { } text) return null;
        if (Uri.TryCreate(text, UriKind.Absolute, out var url) && (url.Scheme == Uri.UriSchemeHttps || url.Scheme == Uri.UriSchemeHttp)) return url;
        reader.Fault("bad-url", "url", $"url is \"{text}\"", "an address that begins with https:// or http:// is needed", "Write for example \"https://alerts.museum.example/sweeprig\".");
        return null;
    }

    private static AlarmWay.Webhook? Webhook(ObjectReader? reader, string name)
    {
        if (reader is null) return null;
        var (url, secret, timeout) = (Url(reader), Secret(reader, "secret"), Timeout(reader, 10));
        return url is null || timeout is null ? null : new(name, timeout.Value, url, secret);
    }

    private static AlarmWay.Command? Command(ObjectReader? reader, string name)
    {
        if (reader is null) return null;
        var (program, arguments, timeout) = (reader.Line("program", LongestText), reader.Lines("arguments", MostArguments, LongestText), Timeout(reader, 10));
        if (program is not null && !Path.IsPathFullyQualified(program))
        {
            // Looked for in a path that a service and a shell have differently, it could be another program than was meant.
            reader.Fault("program-not-whole", "program", $"program is \"{program}\"", "a whole path is needed", "Write where it is, as \"/usr/local/bin/ring\".");
            return null;
        }
        return program is null || timeout is null ? null : new(name, timeout.Value, program, arguments);
    }

    private static AlarmWay.Mail? Mail(ObjectReader? reader, string name)
    {
        if (reader is null) return null;
        var host = reader.Line("host", 255);
        var word = reader.Has("security") ? reader.Word("security", "starttls", "tls", "none") : "starttls";
        var security = word switch { "tls" => MailSecurity.Tls, "none" => MailSecurity.None, _ => MailSecurity.StartTls };
        var port = reader.Whole("port", 1, 65_535, "", otherwise: security switch { MailSecurity.Tls => 465, MailSecurity.None => 25, _ => 587 });
        var user = reader.Has("user") ? reader.Line("user", 255) : null;
        var password = Secret(reader, "password");
        if (user is not null && password is null) reader.Fault("missing-key", "passwordFile", "a user is given and no password", "both or none are needed", "Add \"passwordFile\" or \"passwordVariable\".");
        if (host is not null && security == MailSecurity.None && !IsHere(host))
            reader.Fault("mail-in-the-clear", "security", $"mail is to go to {host} without encryption", "only a server on this machine is spoken to in the clear", "Write \"starttls\" or \"tls\", with \"trustedCertificate\" if the server has one of its own making.");
        var from = Mailbox(reader, "from", reader.Line("from", 255));
        var to = reader.Lines("to", MostReceivers, 255).Select(t => Mailbox(reader, "to", t)).OfType<string>().ToList();
        if (to.Count == 0) reader.Fault("missing-key", "to", "nobody is to get the mail", "a list of one mail address or more is needed", "Add \"to\": [\"keepers@museum.example\"].");
        var trusted = reader.Has("trustedCertificate") ? reader.Line("trustedCertificate", LongestText) : null;
        var timeout = Timeout(reader, 20);
        return host is null || port is null || from is null || timeout is null ? null : new(name, timeout.Value, host, port.Value, security, user, password, from, to, trusted);
    }

    private static string? Mailbox(ObjectReader reader, string key, string? text)
    {
        if (text is null) return null;
        if (MailboxAddress.TryParse(text, out var mailbox) && mailbox.Address.Contains('@', StringComparison.Ordinal)) return text;
        reader.Fault("bad-mail-address", key, $"{key} has \"{text}\"", "a mail address as in RFC 5322 is needed", "Write for example \"keepers@museum.example\".");
        return null;
    }

    private static bool IsHere(string host) => host == "localhost" || (IPAddress.TryParse(host, out var address) && IPAddress.IsLoopback(address));

    private static SecretSource? Secret(ObjectReader reader, string what)
    {
        var file = reader.Has(what + "File") ? reader.Line(what + "File", LongestText) : null;
        var variable = reader.Has(what + "Variable") ? reader.Line(what + "Variable", 255) : null;
        if (file is not null && variable is not null) reader.Fault("secret-twice", what + "File", $"the {what} is in a file and in a variable", "one of them is needed", "Take one out.");
        return file is null && variable is null ? null : new(file, file is null ? variable : null);
    }

    private static TimeSpan? Timeout(ObjectReader reader, double usual) =>
        (reader.Has("timeoutSeconds") ? reader.Number("timeoutSeconds", LeastSeconds, MostSeconds, "s") : usual) is { } seconds ? TimeSpan.FromSeconds(seconds) : null;
}
