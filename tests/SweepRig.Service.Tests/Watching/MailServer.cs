using System.Buffers;
using System.Net;
using System.Net.Sockets;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using SmtpServer;
using SmtpServer.Authentication;
using SmtpServer.Protocol;
using SmtpServer.Storage;

namespace SweepRig.Service.Tests.Watching;

/// <summary>A real mail server on a loopback port, which keeps what it is given.</summary>
internal sealed class MailServer : IAsyncDisposable
{
    private readonly CancellationTokenSource _stop = new();
    private readonly Task _serving;
    private readonly Store _store = new();

    /// <param name="certificate">Offers STARTTLS with it; null for none.</param>
    /// <param name="encrypted">Speaks TLS from the first byte.</param>
    /// <param name="password">Asks for this password of any user; null for nobody.</param>
    public MailServer(X509Certificate2? certificate = null, bool encrypted = false, string? password = null)
    {
        // Any free port: the server does not tell which one it would have taken itself.
        using (var probe = new TcpListener(IPAddress.Loopback, 0))
        {
            probe.Start();
            Port = ((IPEndPoint)probe.LocalEndpoint).Port;
        }
        var options = new SmtpServerOptionsBuilder().ServerName("mail.museum.example").Endpoint(endpoint =>
        {
            endpoint.Endpoint(new(IPAddress.Loopback, Port)).IsSecure(encrypted);
            if (certificate is not null) endpoint.Certificate(certificate);
            if (password is not null) endpoint.AuthenticationRequired();
        }).Build();
        var services = new SmtpServer.ComponentModel.ServiceProvider();
        services.Add(_store);
        services.Add(new DelegatingUserAuthenticator((_, given) => given == password));
        _serving = new SmtpServer.SmtpServer(options, services).StartAsync(_stop.Token);
    }

    public int Port { get; }

    /// <summary>When set, what is answered in place of taking a mail.</summary>
    public SmtpResponse? Refusal { get => _store.Refusal; set => _store.Refusal = value; }

    /// <summary>Mails as they came.</summary>
    public IReadOnlyList<string> Mails => _store.Mails;

    /// <summary>A certificate that no authority vouches for, as a small server makes one for itself.</summary>
    public static X509Certificate2 SelfMade()
    {
        using var key = RSA.Create(2048);
        var request = new CertificateRequest("CN=mail.museum.example", key, HashAlgorithmName.SHA256, RSASignaturePadding.Pkcs1);
        var now = TimeProvider.System.GetUtcNow();
        using var made = request.CreateSelfSigned(now.AddDays(-1), now.AddDays(1));
        return X509CertificateLoader.LoadPkcs12(made.Export(X509ContentType.Pkcs12), null);
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        try
        {
            await _serving;
        }
        catch (OperationCanceledException)
        {
            // As asked.
        }
        _stop.Dispose();
    }

    private sealed class Store : MessageStore
    {
        private readonly List<string> _mails = [];

        public SmtpResponse? Refusal { get; set; }

        public IReadOnlyList<string> Mails
        {
            get
            {
                lock (_mails) return [.. _mails];
            }
        }

        public override Task<SmtpResponse> SaveAsync(ISessionContext context, IMessageTransaction transaction, ReadOnlySequence<byte> buffer, CancellationToken cancellationToken)
        {
            if (Refusal is { } refusal) return Task.FromResult(refusal);
            lock (_mails) _mails.Add(System.Text.Encoding.UTF8.GetString(buffer.ToArray()));
            return Task.FromResult(SmtpResponse.Ok);
        }
    }
}
