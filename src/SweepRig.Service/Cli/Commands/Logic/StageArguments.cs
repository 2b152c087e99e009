using System.CommandLine;
using SweepRig.Domain.Tubes;
using SweepRig.Logic.Gates;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Contract;
using SweepRig.Service.Logic;

namespace SweepRig.Service.Cli.Commands.Logic;

/// <summary>Options of the commands that reckon a stage or a gate: rails, values, tubes.</summary>
internal sealed class StageArguments
{
    private const string Marked = "Give the value as it is marked.";

    private readonly Option<bool> _triode = new("--triode") { Description = "Screens tied to the plates" };
    private readonly Option<string?> _of = new("--gate") { Description = "Gate whose stages they are, as sweeprig logic example lists it (default: inverters)", HelpName = "GATE" };
    private readonly Option<double?> _plateRail, _biasRail, _heater, _plate, _screen, _stopper, _upper, _lower, _cathode, _speedUp;

    /// <param name="searched">The resistors are what is looked for.</param>
    /// <param name="ofStage">About stages and not about a gate, which then is an option.</param>
    public StageArguments(Command command, bool searched = false, bool ofStage = false)
    {
        var most = ExtraLowVoltage.Limit.Value;
        var (rails, values) = (StageSettings.UsualRails, StageSettings.UsualValues);
        _plateRail = Bounded.Number("--plate-rail", "VOLTS", $"Positive rail (default: {rails.PlateVolts})", 1, most, "V", "Extra-low voltage only.");
        _biasRail = Bounded.Number("--bias-rail", "VOLTS", $"Negative rail of the dividers (default: {rails.BiasVolts})", -most, 0, "V", "Give 0 for none.");
        _heater = Bounded.Number("--heater", "VOLTS", $"Heaters of example tubes (default: {rails.HeaterVolts}); tubes of the stock have what they were measured at", 0.5, most, "V", "Give that of the type.");
        _plate = Ohms("--plate-resistor", "From the rail to the plate", values.PlateOhms);
        _screen = Ohms("--screen-resistor", "From the rail to the screen", values.ScreenOhms);
        _stopper = Ohms("--stopper", "From the middle of the divider to the grid", values.StopperOhms);
        _upper = Ohms("--upper", "From an input to the middle of the divider", values.UpperOhms);
        _lower = Ohms("--lower", "From the middle of the divider to the bias rail", values.LowerOhms,
            $"; nor-at-grid {StageValues.UsualOf(GateKind.NorAtGrid).LowerOhms}, nand-at-grid {StageValues.UsualOf(GateKind.NandAtGrid).LowerOhms}");
        _cathode = Ohms("--cathode-resistor", "From the cathode of a follower to the bias rail", values.CathodeOhms);
        _speedUp = Bounded.Number("--speed-up", "PF", "Across each upper resistor (default: none)", 0, 1e6, "pF", "Give 0 for none.");
        Option[] all = searched
            ? [_plateRail, _biasRail, _heater, _triode, _screen, _stopper]
            : [_plateRail, _biasRail, _heater, _triode, _plate, _screen, _stopper, _upper, _lower, _cathode, _speedUp];
        if (ofStage) command.Add(_of);
        foreach (var option in all) command.Add(option);
        All = all;

        static Option<double?> Ohms(string name, string says, double usual, string others = "") => Bounded.Number(name, "OHMS", $"{says} (default: {usual}{others})", 10, 100e6, "ohm", Marked);
    }

    public IReadOnlyList<Option> All { get; }

    /// <summary>The gate that a command is about.</summary>
    public static Argument<string> Gate() => new("GATE") { Description = "One of those that sweeprig logic example lists" };

    public GateRailsView Rails(ParseResult parsed)
    {
        var usual = StageSettings.UsualRails;
        return new(parsed.GetValue(_plateRail) ?? usual.PlateVolts, parsed.GetValue(_biasRail) ?? usual.BiasVolts, parsed.GetValue(_heater) ?? usual.HeaterVolts);
    }

    /// <summary>The gate whose stages they are; null for inverters.</summary>
    public string? Of(ParseResult parsed) => parsed.GetValue(_of)?.Trim();

    /// <param name="gate">Word of the gate; null for inverters.</param>
    public GateValuesView Values(ParseResult parsed, string? gate)
    {
        var usual = StageSettings.UsualOf(gate);
        return new(
            parsed.GetValue(_triode) ? "triode" : "pentode", Of(_plate, usual.PlateOhms), Of(_screen, usual.ScreenOhms), Of(_stopper, usual.StopperOhms), Of(_upper, usual.UpperOhms),
            Of(_lower, usual.LowerOhms), Of(_speedUp, 0), Of(_cathode, usual.CathodeOhms));

        double Of(Option<double?> option, double otherwise) => parsed.GetResult(option) is null ? otherwise : parsed.GetValue(option) ?? otherwise;
    }

    public static Option<string[]> Tubes(string says) => new("--tube") { Description = says, HelpName = "NUMBER", Arity = ArgumentArity.ZeroOrMore };

    public static Option<string?> Lot() => Bounded.Text("--lot", "NAME", "All tubes of a lot that were swept", 40, "See sweeprig stock list --lots.");

    public static Option<int?> FanOut(int least) => Bounded.Whole("--fan-out", "N", "Stages that each stage feeds (default: 1)", least, StageSettings.MostFanOut, "stages", "Put a follower in between for more.");
}
