using System.Net;
using System.Net.Http.Headers;
using System.Net.Sockets;

namespace SweepRig.Service.Watching.Alarms;

/// <summary>
/// Posts a message as JSON. Taken is what is answered with 2xx. 408, 425, 429 and 5xx (RFC 9110, 15; RFC 8470, 5.2; RFC 6585, 4) and no answer at all are worth trying again, after Retry-After where it is given; any other answer is
/// final, a redirection too: what is signed for one address is not sent to another.
/// </summary>
public sealed class WebhookSender : IDisposable
{
    private const string ContentType = "application/json";

    private readonly HttpClient _http;
    private readonly TimeProvider _time;

    public WebhookSender(TimeProvider time)
    {
        _time = time;
        // The time limit is that of the attempt.
        _http = new(new SocketsHttpHandler { AllowAutoRedirect = false, UseCookies = false, PooledConnectionLifetime = TimeSpan.FromMinutes(1) }) { Timeout = Timeout.InfiniteTimeSpan, MaxResponseContentBufferSize = 65_536 };
    }

    /// <exception cref="AlarmFailedException">It was not taken.</exception>
    public async Task SendAsync(AlarmWay.Webhook way, AlarmMessage message, CancellationToken cancellationToken)
    {
        var body = message.Body();
        using var request = new HttpRequestMessage(HttpMethod.Post, way.Url) { Content = new ByteArrayContent(body) };
        request.Content.Headers.ContentType = new(ContentType);
        request.Headers.UserAgent.Add(new ProductInfoHeaderValue("sweeprig", "1"));
        if (way.Secret is { } source)
        {
            var (secret, created, digest) = (source.Read(), _time.GetUtcNow(), MessageSignature.Digest(body));
            request.Content.Headers.Add("Content-Digest", digest);
            request.Headers.Add("Signature-Input", MessageSignature.Input(way.Name, created));
            request.Headers.Add("Signature", MessageSignature.Sign(secret, way.Name, created, way.Url, ContentType, digest));
        }
        using var answer = await AnswerAsync(request, cancellationToken);
        if (answer.IsSuccessStatusCode) return;
        var status = (int)answer.StatusCode;
        var told = $"{way.Where} answered {status} ({answer.ReasonPhrase})";
        if (status is 408 or 425 or 429 or >= 500) throw new AlarmFailedException(told, isFinal: false, RetryAfter(answer));
        throw new AlarmFailedException(answer.StatusCode is HttpStatusCode.Unauthorized or HttpStatusCode.Forbidden ? $"{told}: it does not know the secret" : told, isFinal: true);
    }

    /// <summary>Posts a sign of life.</summary>
    /// <exception cref="AlarmFailedException">It was not taken.</exception>
    public async Task BeatAsync(Uri url, byte[] body, CancellationToken cancellationToken)
    {
        using var request = new HttpRequestMessage(HttpMethod.Post, url) { Content = new ByteArrayContent(body) };
        request.Content.Headers.ContentType = new(ContentType);
        using var answer = await AnswerAsync(request, cancellationToken);
        if (!answer.IsSuccessStatusCode) throw new AlarmFailedException($"{url.Host} answered {(int)answer.StatusCode} ({answer.ReasonPhrase})", isFinal: false);
    }

    public void Dispose() => _http.Dispose();

    private async Task<HttpResponseMessage> AnswerAsync(HttpRequestMessage request, CancellationToken cancellationToken)
    {
        try
        {
            return await _http.SendAsync(request, HttpCompletionOption.ResponseHeadersRead, cancellationToken);
        }
        catch (HttpRequestException fault)
        {
            var why = fault.InnerException is SocketException socket ? socket.Message : fault.InnerException?.Message ?? fault.Message;
            throw new AlarmFailedException($"{request.RequestUri!.Host} cannot be reached: {why.TrimEnd('.')}", isFinal: false, inner: fault);
        }
    }

    private TimeSpan? RetryAfter(HttpResponseMessage answer) => answer.Headers.RetryAfter switch
    {
        { Delta: { } delta } => delta,
        { Date: { } date } => date - _time.GetUtcNow() is { Ticks: > 0 } wait ? wait : TimeSpan.Zero,
        _ => null,
    };
}
