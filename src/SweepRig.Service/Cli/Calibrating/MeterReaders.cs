using System.Globalization;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Calibrating;

/// <summary>The practice meter of the simulated rig: reads at once and accepts what it sees.</summary>
public sealed class PracticeReader : IMeterReader
{
    public bool IsPerson => false;

    public Task<MeterAnswer> ReadAsync(CalibrationStepView step, CancellationToken cancellationToken) => Task.FromResult(new MeterAnswer(MeterAnswerKind.Take));

    public Task<MeterAnswer> ReviewAsync(CancellationToken cancellationToken) => Task.FromResult(new MeterAnswer(MeterAnswerKind.Take));

    public Task<MeterAnswer> AfterRefusalAsync(CancellationToken cancellationToken) => Task.FromResult(new MeterAnswer(MeterAnswerKind.Later));
}

/// <summary>Readings from a file; where it has none, the calibration is left for later.</summary>
public sealed class FileReader(IReadOnlyDictionary<string, double> readings) : IMeterReader
{
    public bool IsPerson => false;

    public Task<MeterAnswer> ReadAsync(CalibrationStepView step, CancellationToken cancellationToken) =>
        Task.FromResult(readings.TryGetValue(step.Id, out var value) ? new MeterAnswer(MeterAnswerKind.Take, value) : new(MeterAnswerKind.Later));

    public Task<MeterAnswer> ReviewAsync(CancellationToken cancellationToken) => Task.FromResult(new MeterAnswer(MeterAnswerKind.Take));

    public Task<MeterAnswer> AfterRefusalAsync(CancellationToken cancellationToken) => Task.FromResult(new MeterAnswer(MeterAnswerKind.Later));
}

/// <summary>A person at the terminal.</summary>
public sealed class PersonReader(CliTerminal terminal, TextReader input) : IMeterReader
{
    private const string Words = "a number, or: redo STEP, no-positive, later";

    public bool IsPerson => true;

    public async Task<MeterAnswer> ReadAsync(CalibrationStepView step, CancellationToken cancellationToken)
    {
        while (true)
        {
            await terminal.Error.WriteAsync($"  reading, {step.Unit}: ");
            if (await input.ReadLineAsync(cancellationToken) is not { } line) return new(MeterAnswerKind.Later);
            if (Command(line.Trim()) is { } command) return command;
            if (double.TryParse(line.Trim().Replace(',', '.'), NumberStyles.Float, CultureInfo.InvariantCulture, out var value)) return new(MeterAnswerKind.Take, value);
            terminal.Complain($"\"{line.Trim()}\" is no reading. Type {Words}.");
        }
    }

    public async Task<MeterAnswer> ReviewAsync(CancellationToken cancellationToken)
    {
        while (true)
        {
            await terminal.Error.WriteAsync("  accept these residuals? yes, redo STEP or PLACE, later: ");
            if (await input.ReadLineAsync(cancellationToken) is not { } line) return new(MeterAnswerKind.Later);
            if (line.Trim() == "yes") return new(MeterAnswerKind.Take);
            if (Command(line.Trim()) is { } command) return command;
            terminal.Complain($"\"{line.Trim()}\" is not understood. Type yes, redo STEP, redo drive (or grid, plate, screen, supply), or later.");
        }
    }

    public async Task<MeterAnswer> AfterRefusalAsync(CancellationToken cancellationToken)
    {
        while (true)
        {
            await terminal.Error.WriteAsync("  Enter to try again, or: redo STEP, no-positive, later: ");
            if (await input.ReadLineAsync(cancellationToken) is not { } line) return new(MeterAnswerKind.Later);
            if (line.Trim().Length == 0) return new(MeterAnswerKind.Take);
            if (Command(line.Trim()) is { } command) return command;
            terminal.Complain($"\"{line.Trim()}\" is not understood. Press Enter, or type redo STEP, no-positive or later.");
        }
    }

    private static MeterAnswer? Command(string line) => line.Split(' ', 2, StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries) switch
    {
        ["later"] => new(MeterAnswerKind.Later),
        ["no-positive"] => new(MeterAnswerKind.LeaveOutPositive),
        ["redo", var what] => new(MeterAnswerKind.Redo, What: what),
        _ => null,
    };
}
