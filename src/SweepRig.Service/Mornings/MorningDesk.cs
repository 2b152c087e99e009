using SweepRig.Domain.Logging;
using SweepRig.Domain.Watching;
using SweepRig.Service.Contract;
using SweepRig.Service.Hosting;
using SweepRig.Service.Live;
using SweepRig.Service.Reports;
using SweepRig.Service.Stations;
using SweepRig.Service.Watching;
using SweepRig.Service.Watching.Alarms;

namespace SweepRig.Service.Mornings;

/// <summary>
/// Makes the morning report each day at its stated local time, whether a night is over or not, and at the end of each night; leaves it in the data directory and mails it. What day was done already is told by
/// the file, so that a service that starts late, or a clock that is set, makes one report of a day and not none or two.
/// </summary>
public sealed class MorningDesk(BenchOptions options, MorningReader reader, StationList stations, AlarmDesk alarms, NightEnds nights, IWatch watch, TimeProvider time, ILogger<MorningDesk> logger) : BackgroundService
{
    /// <summary>In the data directory.</summary>
    public const string Folder = "mornings";

    private const int MostMailTries = 12;

    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(30), BetweenMailTries = TimeSpan.FromMinutes(5);

    /// <summary>After this long past its time a report that was missed is of no use any more.</summary>
    private static readonly TimeSpan LateAtMost = TimeSpan.FromHours(6);

    /// <summary>The newest report as it can be made now.</summary>
    public Task<MorningView> ReadAsync(MorningSpan span, CancellationToken cancellationToken) => reader.ReadAsync(
        span, time.GetUtcNow(), RigsNow.Of(stations), AlarmViews.Of(alarms.Config, alarms.Faults, alarms.Journal.Pending, alarms.Journal.Done), cancellationToken);

    public TimeZoneInfo Zone => alarms.Config.Report?.Zone ?? TimeZoneInfo.Utc;

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var timer = new PeriodicTimer(LookEvery, time);
        try
        {
            do
            {
                if (DueFile() is { } file && !File.Exists(file + ".html")) await MakeAsync(file, stoppingToken);
                // Looked at a moment after the night ended, when its last events are kept.
                if (nights.Take()) await MakeAsync(Path.Combine(options.DataDirectory, Folder, $"night-{Local():yyyy-MM-dd-HHmm}"), stoppingToken);
            }
            while (await timer.WaitForNextTickAsync(stoppingToken));
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
            // Stopping.
        }
    }

    private DateTimeOffset Local() => TimeZoneInfo.ConvertTime(time.GetUtcNow(), Zone);

    /// <returns>Path of today's report, without its ending, if its time has come; null before it and long after it.</returns>
    private string? DueFile()
    {
        if (alarms.Config.Report is not { } report) return null;
        // By the wall clock of the place: on a day whose clock skips the stated time it is due when the clock has passed it.
        var late = Local().TimeOfDay - report.At.ToTimeSpan();
        return late >= TimeSpan.Zero && late < LateAtMost ? Path.Combine(options.DataDirectory, Folder, $"morning-{Local():yyyy-MM-dd}") : null;
    }

    private async Task MakeAsync(string file, CancellationToken cancellationToken)
    {
        try
        {
            var now = time.GetUtcNow();
            var morning = await ReadAsync(new(now - MorningSpan.Usual, now), cancellationToken);
            var made = MorningReport.Of(morning, Zone);
            var pdf = PdfReport.Write(made, Paper.A4);
            Directory.CreateDirectory(Path.GetDirectoryName(file)!);
            await RecordedRun.WriteFileAsync(file + ".pdf", async (Stream stream) => await stream.WriteAsync(pdf, cancellationToken));
            // Written last: it says that the report of this day is made.
            var html = HtmlReport.Write(made);
            await RecordedRun.WriteFileAsync(file + ".html", async (TextWriter writer) => await writer.WriteAsync(html));
            foreach (var way in alarms.Config.Ways.OfType<AlarmWay.Mail>().Where(w => alarms.Config.Report?.To.Contains(w.Name) == true))
                _ = MailAsync(way, morning, new(Path.GetFileName(file) + ".pdf", "application/pdf", pdf), cancellationToken);
        }
        catch (Exception fault) when (fault is not OperationCanceledException)
        {
            logger.LogError(LogEvents.MorningNotMade, fault, "The morning report could not be made");
            watch.Post(BenchEvent.Of(time.GetUtcNow(), null, EventSeverity.Warning, EventKind.AlarmNotDelivered, $"The morning report could not be made: {fault.Message}", "Make it with sweeprig report night --to morning.pdf."));
        }
    }

    private async Task MailAsync(AlarmWay.Mail way, MorningView morning, MailAttachment attachment, CancellationToken cancellationToken)
    {
        var (id, utc) = (Guid.CreateVersion7(time.GetUtcNow()), time.GetUtcNow());
        for (var tries = 1; ; tries++)
        {
            try
            {
                await AlarmLane.AttemptAsync(
                    (_, _, c) => MailSender.SendAsync(way, $"SweepRig morning report: {morning.Headline}", MorningMail.Text(morning), id, utc, attachment, c), way, AlarmMessage.Trying(utc), time, cancellationToken);
                return;
            }
            catch (AlarmFailedException failure) when (failure.IsFinal || tries == MostMailTries)
            {
                watch.Post(BenchEvent.Of(time.GetUtcNow(), null, EventSeverity.Warning, EventKind.AlarmNotDelivered, $"The morning report could not be mailed by {way.Name}, {failure.Message}.", $"It is in {Folder} of the data directory. Mend the way and try it with sweeprig alarms try --way {way.Name}."));
                return;
            }
            catch (AlarmFailedException)
            {
                // Worth trying again.
            }
            catch (OperationCanceledException)
            {
                return;
            }
            try
            {
                await Task.Delay(BetweenMailTries, time, cancellationToken);
            }
            catch (OperationCanceledException)
            {
                return;
            }
        }
    }
}
