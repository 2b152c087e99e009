using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Watching;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;
using SweepRig.Service.Mornings;
using SweepRig.Service.Reports;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;
using SweepRig.Tubes.Catalogue;
using UglyToad.PdfPig;

namespace SweepRig.Service.Tests.Mornings;

/// <summary>A night of the past, from runs that a model gave and events that were told.</summary>
public sealed class MorningReaderTests : IAsyncLifetime
{
    private static readonly DateTimeOffset Evening = new(2026, 3, 14, 21, 0, 0, TimeSpan.Zero);
    private static readonly MorningSpan Span = new(Evening, Evening.AddHours(10));
    private static readonly AlarmStatusView NoAlarms = new([], [], [], []);

    private readonly TemporaryData _data = new();
    private readonly Workbench _workbench = new();
    private RunStore _runs = null!;

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        _runs = await RunStore.OpenAsync(_data.Path, TimeProvider.System, NullLogger<RunStore>.Instance, Cancel);
        // One tube is as it was, the other has hardly any coating left: a tenth of the current. Sweeps of the days before do not belong to the night.
        foreach (var (label, hours, current) in new[] { ("SKUA-001", -30, 1.0), ("SKUA-002", -30, 1.0), ("SKUA-001", 1, 1.0), ("SKUA-002", 2, 0.1) })
        {
            await new ModelledRun(PlanExamples.GentlePentode)
            {
                StartedUtc = Evening.AddHours(hours), Label = new(label, "6AU6", "Skua"), Seed = hours + 40,
                Tube = ExampleTubes.Sound6AU6 with { Perveance = ExampleTubes.Sound6AU6.Perveance * current },
            }.StoreAsync(_runs);
        }
        await using (var tripped = await _runs.BeginAsync(new ModelledRun(PlanExamples.GentlePentode) { StartedUtc = Evening.AddHours(3), Label = new("SKUA-003", "6AU6", "Skua") }.Header, Cancel))
        {
            await tripped.TripAsync(new Trip(TripCause.GridCurrent, true, "grid current 6.2 mA", "5 mA", Evening.AddHours(3.1), null), Cancel);
            await tripped.EndAsync(RunState.Tripped, Evening.AddHours(3.1), Cancel);
        }
        await new EventStore(_runs).AddAsync(
            [
                Event(-2, EventSeverity.Alarm, EventKind.Trip, "Too long ago."),
                .. Enumerable.Range(0, 5).Select(i => Event(1 + 0.1 * i, EventSeverity.Warning, EventKind.RigGone, $"The rig does not answer, time {i}.", "Check its cable.")),
                Event(2, EventSeverity.Note, EventKind.RigBack, "The rig is back."),
                Event(3.1, EventSeverity.Alarm, EventKind.Trip, "Too much grid current.", "Lower the highest drive."),
                Event(4, EventSeverity.Note, EventKind.TubeSkipped, "It did not pass the screening.") with { Tube = "SKUA-004", Job = "sweeps" },
            ],
            Cancel);
    }

    public async ValueTask DisposeAsync()
    {
        await _runs.DisposeAsync();
        _workbench.Dispose();
        _data.Dispose();
    }

    private Task<MorningView> ReadAsync(AlarmStatusView? alarms = null, params RigNowView[] now) =>
        new MorningReader(_runs, new EventStore(_runs), new(_runs, TimeProvider.System), new(_workbench)).ReadAsync(Span, Span.UntilUtc, now, alarms ?? NoAlarms, Cancel);

    [Fact]
    public async Task What_ran_what_tripped_and_what_was_left_out_are_those_of_the_night_alone()
    {
        var morning = await ReadAsync();
        var work = Assert.Single(morning.Work);
        Assert.Equal((3, 2, 1, 3), (work.Runs, work.Complete, work.Tripped, work.Tubes));
        // One of a run, and one that befell a rig at rest.
        Assert.Equal(["SKUA-003 Too much grid current (grid current 6.2 mA, limit 5 mA)", " Too much grid current"], morning.Trips.Select(t => $"{t.Tube} {t.Text}"));
        Assert.Equal("SKUA-004 sweeps It did not pass the screening.", $"{morning.Skipped[0].Tube} {morning.Skipped[0].Job} {morning.Skipped[0].Why}");
        Assert.Equal(["trip 1", "rig-gone 5", "rig-back 1", "tube-skipped 1"], morning.Kinds.Select(k => $"{k.Kind} {k.Count}"));
    }

    [Fact]
    public async Task A_tube_that_changed_beyond_uncertainty_comes_before_one_that_did_not()
    {
        var morning = await ReadAsync();
        // A tenth of the current moves the curve, and its grid collects less; the rail is as it was. Of a tube that did not change one row is enough.
        Assert.Equal(
            ["SKUA-002 pentode.switching-drive True", "SKUA-002 pentode.plate-current True", "SKUA-002 pentode.grid-current True", "SKUA-001 pentode.switching-drive False"],
            morning.Drifts.Select(d => $"{d.Tube} {d.Quantity} {d.HasChanged}"));
        Assert.Contains("times what the two measurements can be wrong together", morning.Drifts[0].Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_to_do_first_begins_with_what_is_wrong_now_and_tells_what_recurs_once()
    {
        var morning = await ReadAsync(null, new RigNowView("north", "tripped", "tripped and safe: Too much cathode current; heater off", "Measure the cold tube for shorts."), new("south", "ready", "connected", ""));
        Assert.Equal("north is tripped; the other is connected and not tripped, nothing runs.", morning.Headline);
        Assert.Equal(
            ["alarm 1 Measure the cold tube for shorts.", "alarm 1 Lower the highest drive.", "warning 5 Check its cable."],
            morning.First.Select(f => $"{f.Severity} {f.Count} {f.Remedy}"));
        Assert.Equal("The rig does not answer, time 4.", morning.First[2].Text);
    }

    [Fact]
    public async Task A_hold_that_is_past_is_nothing_to_do_first()
    {
        await new EventStore(_runs).AddAsync([Event(5, EventSeverity.Alarm, EventKind.NightLate, "The night waits for a person: emergency stop.", "Look at the bench.")], Cancel);
        bool Asks(MorningView morning) => morning.First.Any(f => f.Remedy == "Look at the bench.");
        // Whether it still waits a rig says itself; where no service could be asked, and the night has not ended, it may.
        Assert.False(Asks(await ReadAsync(null, new RigNowView("north", "ready", "connected", ""))));
        Assert.True(Asks(await ReadAsync(null)));
        await new EventStore(_runs).AddAsync([Event(6, EventSeverity.Note, EventKind.NightEnded, "The night is over.")], Cancel);
        Assert.False(Asks(await ReadAsync(null)));
    }

    [Fact]
    public async Task The_report_says_all_of_it_as_page_and_as_pdf()
    {
        var alarms = new AlarmStatusView(
            [new("phone", "webhook", "https://alerts.museum.example/hook")], [], [new("keepers", "alarm at north: Too much grid current.", "2026-03-15T00:06:00.000Z", 3, "the mail server mail.museum.example:587 cannot be reached: refused")],
            [
                new("phone", "alarm at north: Too much grid current.", "2026-03-15T00:06:00.000Z", "2026-03-15T00:06:01.000Z", 1, null),
                new("phone", "warning at north: The rig does not answer.", "2026-03-14T22:00:00.000Z", "2026-03-15T01:00:01.000Z", 14, "alerts.museum.example did not answer within 10 s"),
                new("phone", "alarm: Of another night.", "2026-03-13T22:00:00.000Z", "2026-03-13T22:00:01.000Z", 1, null),
            ]);
        var report = MorningReport.Of(await ReadAsync(alarms, new RigNowView("north", "ready", "connected, nothing runs, heater off", "")), TimeZoneInfo.FindSystemTimeZoneById("Europe/Oslo"));
        Assert.Equal("The rig is connected and not tripped, nothing runs.", report.Subtitle);
        Assert.Equal(["The bench now", "What to do first", "What ran", "What tripped", "What drifted", "Tubes left out", "Alarms", "Events"], report.Sections.Select(s => s.Heading));
        var html = HtmlReport.Write(report);
        foreach (var said in new[]
        {
            "01:06", "SKUA-003 on SIM-0001: Too much grid current", "SKUA-002", "1 tube measured again did not change beyond uncertainty.", "phone, not delivered: alerts.museum.example did not answer within 10 s",
            "keepers, still tried: the mail server", "Delivered: 1 by phone.", "(5 times, last at 23:2", "times are Europe/Oslo",
        })
            Assert.Contains(said, html, StringComparison.Ordinal);
        Assert.DoesNotContain("Of another night", html, StringComparison.Ordinal);
        var pdf = PdfReport.Write(report, Paper.A4);
        using var read = PdfDocument.Open(pdf);
        Assert.Contains("The rig is connected and not tripped", string.Join(" ", read.GetPage(1).GetWords().Select(w => w.Text)), StringComparison.Ordinal);
        Assert.True(pdf.Length < 200_000, $"{pdf.Length} bytes");
    }

    [Fact]
    public async Task An_empty_night_says_that_nothing_is_to_be_done()
    {
        var span = new MorningSpan(Evening.AddDays(30), Evening.AddDays(30).AddHours(8));
        var morning = await new MorningReader(_runs, new EventStore(_runs), new(_runs, TimeProvider.System), new(_workbench)).ReadAsync(span, span.UntilUtc, [], NoAlarms, Cancel);
        var html = HtmlReport.Write(MorningReport.Of(morning, TimeZoneInfo.Utc));
        foreach (var said in new[] { "Nothing: no warning and no alarm.", "Nothing was swept in this time.", "No tube was measured that had been measured before.", "No way is set up: see sweeprig alarms example." })
            Assert.Contains(said, html, StringComparison.Ordinal);
    }

    private static BenchEvent Event(double hours, EventSeverity severity, EventKind kind, string text, string remedy = "") => BenchEvent.Of(Evening.AddHours(hours), "north", severity, kind, text, remedy);
}
