using System.CommandLine;
using System.Globalization;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Calibrating;

/// <summary>What a calibration is begun with: options for a script, questions for a person who left them out.</summary>
public sealed class BeginOptions
{
    private const string Sheet = "Take it from the meter's data sheet.";

    private readonly Option<bool> _tubeOut = new("--tube-out") { Description = "The tube is out of the socket" };
    private readonly Option<string?> _name = Bounded.Text("--meter", "NAME", "Maker and model of the reference meter", 80, "Give maker and model.");
    private readonly Option<string?> _serial = Bounded.Text("--meter-serial", "NUMBER", "Its serial number", 80, "Give the number on the meter.");
    private readonly Option<double?> _reading = Bounded.Number("--percent-of-reading", "P", "Its accuracy: percent of reading", 0, 5, "%", Sheet);
    private readonly Option<double?> _counts = Bounded.Number("--counts", "N", "Its accuracy: counts (default: 0)", 0, 1000, "counts", Sheet);
    private readonly Option<double?> _ofRange = Bounded.Number("--percent-of-range", "P", "Its accuracy: percent of range (default: 0)", 0, 5, "%", Sheet);
    private readonly Option<double?> _range = Bounded.Number("--range", "V", "Full scale of the range used", 1, 1000, "V", "Give the range that you read on.");
    private readonly Option<double?> _place = Bounded.Number("--last-place", "V", "What its last place means, for example 0.001", 1e-7, 0.1, "V", "Look at its display.");
    private readonly Option<double?> _ohms = Bounded.Number("--ohms-percent", "P", "Its accuracy for resistance, percent of reading (default: 1)", 0, 10, "%", Sheet);
    private readonly Option<string?> _note = Bounded.Text("--note", "TEXT", "Goes into the calibration", 500, "Leave it out, or say something.");
    private readonly Option<double?> _positive = Bounded.Number("--positive-up-to", "V", "Compare the drive up to here; needs a permit (default: 0, no positive drive)", 0, ExtraLowVoltage.Limit.Value, "V", "Grant a permit with sweeprig permit first.");

    public void AddTo(Command command)
    {
        foreach (var option in new Option[] { _tubeOut, _name, _serial, _reading, _counts, _ofRange, _range, _place, _ohms, _note, _positive }) command.Add(option);
    }

    /// <summary>From the options, with the usual hand-held meter for what is left out: for the practice meter.</summary>
    public BeginCalibrationRequest Practice(ParseResult parsed) => new(
        TubeOut: true,
        new(parsed.GetValue(_name) ?? "practice meter", parsed.GetValue(_serial) ?? "simulated", parsed.GetValue(_reading) ?? 0.05, parsed.GetValue(_range) ?? 60, parsed.GetValue(_place) ?? 0.001,
            parsed.GetValue(_ofRange) ?? 0, parsed.GetValue(_counts) ?? 3, parsed.GetValue(_ohms) ?? 0.2),
        parsed.GetValue(_note) ?? "", parsed.GetValue(_positive) ?? 0);

    /// <summary>From the options; what is left out is asked for.</summary>
    /// <returns>Null when the input ended before all was answered.</returns>
    public async Task<BeginCalibrationRequest?> AskAsync(ParseResult parsed, CliContext context, CancellationToken cancellation)
    {
        async Task<string?> Text(Option<string?> option, string question) => parsed.GetValue(option) ?? await LineAsync(question);
        async Task<double?> Number(Option<double?> option, string question, double? usual = null)
        {
            if (parsed.GetValue(option) is { } given) return given;
            while (await LineAsync(usual is { } u ? $"{question} (Enter for {u.ToString(CultureInfo.InvariantCulture)})" : question) is { } line)
            {
                if (line.Length == 0 && usual is not null) return usual;
                if (double.TryParse(line.Replace(',', '.'), NumberStyles.Float, CultureInfo.InvariantCulture, out var value)) return value;
                context.Terminal.Complain($"\"{line}\" is no number. Type one, for example 0.05.");
            }
            return null;
        }
        async Task<string?> LineAsync(string question)
        {
            await context.Terminal.Error.WriteAsync($"  {question}: ");
            return (await context.Input.ReadLineAsync(cancellation))?.Trim();
        }

        var tubeOut = parsed.GetValue(_tubeOut) || await LineAsync("Is the tube out of the socket? yes or no") == "yes";
        if (await Text(_name, "Maker and model of the meter") is not { } name || await Text(_serial, "Serial number of the meter") is not { } serial) return Ended(context);
        if (await Number(_reading, "Accuracy, percent of reading") is not { } reading || await Number(_counts, "Accuracy, counts", 0) is not { } counts || await Number(_ofRange, "Accuracy, percent of range", 0) is not { } ofRange) return Ended(context);
        if (await Number(_range, "Range, V") is not { } range || await Number(_place, "Last place of the display, V", 0.001) is not { } place || await Number(_ohms, "Accuracy for resistance, percent", 1) is not { } ohms) return Ended(context);
        if (await Number(_positive, "Compare the drive up to, V; above 0 a permit is needed", 0) is not { } positive) return Ended(context);
        return new(tubeOut, new(name, serial, reading, range, place, ofRange, counts, ohms), parsed.GetValue(_note) ?? "", positive);
    }

    private static BeginCalibrationRequest? Ended(CliContext context)
    {
        context.Terminal.Complain("The input ended before the meter was described. Give --meter, --meter-serial, --percent-of-reading, --counts or --percent-of-range, --range and --last-place, or answer the questions.");
        return null;
    }
}
