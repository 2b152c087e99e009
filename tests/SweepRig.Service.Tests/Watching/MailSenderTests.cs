using System.Net;
using System.Net.Sockets;
using SmtpServer.Protocol;
using SweepRig.Domain.Watching;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Watching.Alarms;

namespace SweepRig.Service.Tests.Watching;

/// <summary>Against a real mail server on a loopback port.</summary>
public sealed class MailSenderTests : IDisposable
{
    private static readonly AlarmMessage Message = new(
        Guid.CreateVersion7(), new(2026, 11, 26, 3, 0, 0, TimeSpan.Zero),
        [new(BenchEvent.Of(new(2026, 11, 26, 3, 0, 0, TimeSpan.Zero), "north", EventSeverity.Alarm, EventKind.Trip, "Too much grid current (6.2 mA).", "Lower the highest drive.") with { Tube = "SKUA-014" }, 2)]);

    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    private static AlarmWay.Mail Way(int port, MailSecurity security = MailSecurity.None) =>
        new("keepers", TimeSpan.FromSeconds(10), "127.0.0.1", port, security, null, null, "SweepRig <sweeprig@museum.example>", ["keepers@museum.example", "night@museum.example"], null);

    private static Task SendAsync(AlarmWay.Mail way) => MailSender.SendAsync(way, Message, TestContext.Current.CancellationToken);

    [Fact]
    public async Task The_mail_says_what_happened_and_what_to_do_and_that_a_program_wrote_it()
    {
        await using var server = new MailServer();
        await SendAsync(Way(server.Port));
        using var stream = new MemoryStream(System.Text.Encoding.UTF8.GetBytes(Assert.Single(server.Mails)));
        using var mail = await MimeKit.MimeMessage.LoadAsync(stream, TestContext.Current.CancellationToken);
        Assert.Equal("SweepRig alarm at north: Too much grid current (6.2 mA). And 2 more.", mail.Subject);
        Assert.Equal("keepers@museum.example, night@museum.example", mail.To.ToString());
        Assert.Equal("auto-generated", mail.Headers["Auto-Submitted"]);
        Assert.Equal($"{Message.Id:N}@museum.example", mail.MessageId);
        var text = mail.TextBody!.ReplaceLineEndings("\n");
        Assert.Contains("2026-11-26 03:00:00 UTC  alarm  (north, SKUA-014)\nToo much grid current (6.2 mA).\nWhat to do: Lower the highest drive.\n2 more of this kind came", text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(MailSecurity.StartTls)]
    [InlineData(MailSecurity.Tls)]
    public async Task An_encrypted_server_is_signed_in_to_if_its_certificate_is_the_trusted_one(MailSecurity security)
    {
        using var certificate = MailServer.SelfMade();
        await using var server = new MailServer(certificate, security == MailSecurity.Tls, "tide-clock");
        await File.WriteAllTextAsync(_data.File("password"), "tide-clock\n", TestContext.Current.CancellationToken);
        var way = Way(server.Port, security) with { User = "sweeprig", Password = new(_data.File("password"), null) };
        var unknown = await Assert.ThrowsAsync<AlarmFailedException>(() => SendAsync(way));
        Assert.True(unknown.IsFinal);
        Assert.Contains("shows a certificate that nobody known vouches for", unknown.Message, StringComparison.Ordinal);
        await File.WriteAllTextAsync(_data.File("other.pem"), Pem(), TestContext.Current.CancellationToken);
        await Assert.ThrowsAsync<AlarmFailedException>(() => SendAsync(way with { TrustedCertificate = _data.File("other.pem") }));
        Assert.Empty(server.Mails);
        await File.WriteAllTextAsync(_data.File("server.pem"), certificate.ExportCertificatePem(), TestContext.Current.CancellationToken);
        var trusting = way with { TrustedCertificate = _data.File("server.pem") };
        await SendAsync(trusting);
        Assert.Single(server.Mails);
        await File.WriteAllTextAsync(_data.File("password"), "wrong\n", TestContext.Current.CancellationToken);
        var refused = await Assert.ThrowsAsync<AlarmFailedException>(() => SendAsync(trusting));
        Assert.True(refused.IsFinal);
        Assert.Contains("does not accept user sweeprig", refused.Message, StringComparison.Ordinal);
        Assert.DoesNotContain("wrong", refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_password_never_goes_to_a_server_that_offers_no_encryption()
    {
        await using var server = new MailServer();
        var failure = await Assert.ThrowsAsync<AlarmFailedException>(() => SendAsync(Way(server.Port, MailSecurity.StartTls)));
        Assert.True(failure.IsFinal);
        Assert.Empty(server.Mails);
    }

    [Theory]
    [InlineData(SmtpReplyCode.MailboxUnavailable, true)]
    [InlineData(SmtpReplyCode.ServiceUnavailable, false)]
    public async Task A_server_that_refuses_for_good_is_told_from_one_that_is_busy(SmtpReplyCode code, bool isFinal)
    {
        await using var server = new MailServer { Refusal = new(code, "not today") };
        var failure = await Assert.ThrowsAsync<AlarmFailedException>(() => SendAsync(Way(server.Port)));
        Assert.Equal(isFinal, failure.IsFinal);
        Assert.Contains("not today", failure.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_server_that_is_not_there_and_one_that_never_says_a_word_are_tried_again()
    {
        using var silent = new TcpListener(IPAddress.Loopback, 0);
        silent.Start();
        var port = ((IPEndPoint)silent.LocalEndpoint).Port;
        var way = Way(port) with { Timeout = TimeSpan.FromSeconds(1) };
        var hung = await Assert.ThrowsAsync<AlarmFailedException>(() => AlarmLane.AttemptAsync((w, m, c) => MailSender.SendAsync((AlarmWay.Mail)w, m, c), way, Message, TimeProvider.System, TestContext.Current.CancellationToken));
        silent.Stop();
        var gone = await Assert.ThrowsAsync<AlarmFailedException>(() => SendAsync(way));
        Assert.False(hung.IsFinal || gone.IsFinal);
        Assert.Contains("cannot be reached", gone.Message, StringComparison.Ordinal);
    }

    private static string Pem()
    {
        using var other = MailServer.SelfMade();
        return other.ExportCertificatePem();
    }
}
