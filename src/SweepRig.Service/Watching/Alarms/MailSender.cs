using System.Net.Sockets;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using MailKit;
using MailKit.Net.Smtp;
using MailKit.Security;
using MimeKit;

namespace SweepRig.Service.Watching.Alarms;

/// <param name="Name">Of the attached file.</param>
public sealed record MailAttachment(string Name, string MediaType, byte[] Content);

/// <summary>
/// Sends a message by SMTP (RFC 5321). A refusal with 5xx is final, one with 4xx and a server that does not answer are worth trying again (4.2.1). Marked as sent by a program (RFC 3834, 5), so that no other program
/// answers it.
/// </summary>
public static class MailSender
{
    public static Task SendAsync(AlarmWay.Mail way, AlarmMessage message, CancellationToken cancellationToken) =>
        SendAsync(way, $"SweepRig {message.Subject}", message.Text(), message.Id, message.Utc, null, cancellationToken);

    /// <param name="id">The same at each attempt, so that a mailbox shows a repeated one once.</param>
    /// <exception cref="AlarmFailedException">The server did not take it.</exception>
    public static async Task SendAsync(AlarmWay.Mail way, string subject, string text, Guid id, DateTimeOffset utc, MailAttachment? attachment, CancellationToken cancellationToken)
    {
        var from = MailboxAddress.Parse(way.From);
        using var mail = new MimeMessage { Subject = subject, Date = utc, MessageId = $"{id:N}@{from.Domain}" };
        mail.From.Add(from);
        foreach (var to in way.To) mail.To.Add(MailboxAddress.Parse(to));
        mail.Headers.Add("Auto-Submitted", "auto-generated");
        var body = new BodyBuilder { TextBody = text };
        if (attachment is not null) body.Attachments.Add(attachment.Name, attachment.Content, ContentType.Parse(attachment.MediaType));
        mail.Body = body.ToMessageBody();
        mail.Body.Headers.Add(HeaderId.ContentLanguage, "en");
        try
        {
            using var smtp = new SmtpClient { Timeout = (int)way.Timeout.TotalMilliseconds };
            // It says in the clear who reads mail here; an address of the loopback will do.
            smtp.LocalDomain = "[127.0.0.1]";
            if (way.TrustedCertificate is { } file)
            {
                using var trusted = X509Certificate2.CreateFromPem(await File.ReadAllTextAsync(file, cancellationToken));
                var thumbprint = trusted.GetCertHashString(HashAlgorithmName.SHA256);
                smtp.ServerCertificateValidationCallback = (_, shown, _, _) => shown?.GetCertHashString(HashAlgorithmName.SHA256) == thumbprint;
            }
            var security = way.Security switch { MailSecurity.Tls => SecureSocketOptions.SslOnConnect, MailSecurity.StartTls => SecureSocketOptions.StartTls, _ => SecureSocketOptions.None };
            await smtp.ConnectAsync(way.Host, way.Port, security, cancellationToken);
            if (way.User is { } user) await smtp.AuthenticateAsync(user, way.Password!.Read(), cancellationToken);
            await smtp.SendAsync(mail, cancellationToken);
            // Taken it is already; a server that does not say goodbye changes nothing.
            await smtp.DisconnectAsync(quit: true, cancellationToken);
        }
        catch (Exception fault) when (Explain(way, fault) is { } failure)
        {
            throw failure;
        }
    }

    private static AlarmFailedException? Explain(AlarmWay.Mail way, Exception fault)
    {
        var server = $"the mail server {way.Host}:{way.Port}";
        var why = fault.Message.ReplaceLineEndings(" ").TrimEnd('.', ' ');
        return fault switch
        {
            AlarmFailedException or OperationCanceledException => null,
            SmtpCommandException { StatusCode: >= (SmtpStatusCode)500 } refused => new($"{server} refuses the mail: {(int)refused.StatusCode} {why}", isFinal: true, inner: fault),
            SmtpCommandException refused => new($"{server} does not take the mail now: {(int)refused.StatusCode} {why}", isFinal: false, inner: fault),
            MailKit.Security.AuthenticationException => new($"{server} does not accept user {way.User} with this password", isFinal: true, inner: fault),
            SslHandshakeException => new($"{server} shows a certificate that nobody known vouches for, or speaks no TLS on this port", isFinal: true, inner: fault),
            NotSupportedException => new($"{server} does not offer what is asked of it: {why}", isFinal: true, inner: fault),
            CryptographicException or FileNotFoundException or DirectoryNotFoundException or UnauthorizedAccessException => new($"the trusted certificate {way.TrustedCertificate} cannot be read: {why}", isFinal: true, inner: fault),
            SocketException or IOException or TimeoutException or ProtocolException or ServiceNotConnectedException => new($"{server} cannot be reached: {why}", isFinal: false, inner: fault),
            _ => new($"{server}: {why}", isFinal: false, inner: fault),
        };
    }
}
