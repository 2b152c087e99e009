namespace SweepRig.Service.Watching.Alarms;

/// <summary>Brings a message along a way, whatever its kind.</summary>
public sealed class AlarmSenders(TimeProvider time) : IDisposable
{
    private readonly WebhookSender _webhook = new(time);

    /// <exception cref="AlarmFailedException">It was not taken.</exception>
    public Task SendAsync(AlarmWay way, AlarmMessage message, CancellationToken cancellationToken) => way switch
    {
        AlarmWay.Webhook webhook => _webhook.SendAsync(webhook, message, cancellationToken),
        AlarmWay.Mail mail => MailSender.SendAsync(mail, message, cancellationToken),
        AlarmWay.Command command => CommandSender.SendAsync(command, message, cancellationToken),
        _ => throw new InvalidOperationException($"SweepRig bug: no sender for {way.GetType().Name}."),
    };

    /// <exception cref="AlarmFailedException">It was not taken.</exception>
    public Task BeatAsync(Uri url, byte[] body, CancellationToken cancellationToken) => _webhook.BeatAsync(url, body, cancellationToken);

    public void Dispose() => _webhook.Dispose();
}
