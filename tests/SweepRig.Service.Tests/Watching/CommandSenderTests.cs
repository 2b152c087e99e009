using SweepRig.Domain.Watching;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Watching.Alarms;

namespace SweepRig.Service.Tests.Watching;

public sealed class CommandSenderTests : IDisposable
{
    private static readonly AlarmMessage Message = new(
        Guid.CreateVersion7(), DateTimeOffset.UnixEpoch, [new(BenchEvent.Of(DateTimeOffset.UnixEpoch, "north", EventSeverity.Alarm, EventKind.Trip, "Text with $(touch /tmp/x) `id` \"quotes\" and ; signs."), 0)]);

    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task The_program_gets_the_message_on_its_input_and_its_arguments_as_they_stand()
    {
        await SendAsync("printf '%s|' \"$@\" > \"$OUT.args\"; cat > \"$OUT.json\"", "one two", "$(id)", "*");
        Assert.Equal("one two|$(id)|*|", await File.ReadAllTextAsync(_data.File("out.args"), TestContext.Current.CancellationToken));
        Assert.Equal(Message.Body(), await File.ReadAllBytesAsync(_data.File("out.json"), TestContext.Current.CancellationToken));
    }

    [Fact]
    public async Task A_code_other_than_0_is_told_with_what_the_program_said()
    {
        var failure = await Assert.ThrowsAsync<AlarmFailedException>(() => SendAsync("echo the bell is stuck >&2; exit 3"));
        Assert.EndsWith("ended with code 3: the bell is stuck", failure.Message, StringComparison.Ordinal);
        Assert.False(failure.IsFinal);
    }

    [Fact]
    public async Task A_program_that_is_not_there_is_told_and_not_tried_again()
    {
        var failure = await Assert.ThrowsAsync<AlarmFailedException>(() => CommandSender.SendAsync(new("bell", TimeSpan.FromSeconds(5), _data.File("none"), []), Message, TestContext.Current.CancellationToken));
        Assert.True(failure.IsFinal);
        Assert.Contains(_data.File("none"), failure.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_program_that_does_not_end_is_ended()
    {
        var way = Program("exec sleep 600") with { Timeout = TimeSpan.FromSeconds(1) };
        var failure = await Assert.ThrowsAsync<AlarmFailedException>(() => AlarmLane.AttemptAsync((w, m, c) => CommandSender.SendAsync((AlarmWay.Command)w, m, c), way, Message, TimeProvider.System, TestContext.Current.CancellationToken));
        Assert.Contains("did not answer within 1 s", failure.Message, StringComparison.Ordinal);
    }

    private Task SendAsync(string script, params string[] arguments) => CommandSender.SendAsync(Program(script, arguments), Message, TestContext.Current.CancellationToken);

    // Read by the shell, not run itself: a file that was only just written cannot always be run while another thread forks.
    private AlarmWay.Command Program(string script, params string[] arguments)
    {
        File.WriteAllText(_data.File("ring"), $"OUT={_data.File("out")}\n{script}\n");
        return new("bell", TimeSpan.FromSeconds(20), "/bin/sh", [_data.File("ring"), .. arguments]);
    }
}
