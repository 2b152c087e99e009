using System.CommandLine;
using SweepRig.Domain.Logging;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Hosting.Systemd;

namespace SweepRig.Service.Cli.Commands.Installing;

/// <summary>Prints what makes the bench a service of a Linux system.</summary>
public static class ServiceCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "service", "Prints what makes the bench a service of this computer: the unit for systemd, the udev rule for the port, the ids in its log.",
            new Example("sweeprig service unit --port /dev/sweeprig/A1 | sudo tee /etc/systemd/system/sweeprig.service", "The unit."),
            new Example("sweeprig service udev-rule | sudo tee /etc/udev/rules.d/70-sweeprig.rules", "The rule."))
        {
            Unit(context),
            UdevRule(context),
            LogIds(context),
        };
        command.SetAction(parsed => new HelpWithExamples(new System.CommandLine.Help.HelpAction(), context.Terminal.Width).Invoke(parsed));
        return command;
    }

    private static ExampledCommand Unit(CliContext context)
    {
        var command = new ExampledCommand(
            "unit", "Prints a unit for systemd: watched, hardened, with /var/lib/sweeprig as data directory.",
            new Example("sweeprig service unit --port /dev/sweeprig/A1", "For the rig on that port."),
            new Example("sweeprig service unit --user wren", "As that user, with the simulated rig."))
        {
            Notes =
            [
                "Make the user first: sudo useradd --system --groups dialout sweeprig. Then put the unit into /etc/systemd/system and say",
                "sudo systemctl daemon-reload && sudo systemctl enable --now sweeprig. Its log: journalctl -u sweeprig. The account needs no login.",
                "",
            ],
        };
        var executable = Bounded.Text("--executable", "PATH", "Full path of the program (default: this one)", 4096, "Give the path that the service is to start.");
        var user = Bounded.Text("--user", "NAME", "Who it runs as (default: sweeprig)", 32, "Give the name of a user.");
        user.Validators.Add(result =>
        {
            if (result.Tokens is [{ Value: var name }] && !name.All(c => char.IsAsciiLetterOrDigit(c) || c is '_' or '-'))
                result.AddError($"--user {name}: allowed is letters, digits, _ and -. Give the name of a user.");
        });
        var (port, bus, json) = (SharedOptions.Port(), SharedOptions.Bus(), SharedOptions.Json());
        foreach (var option in new Option[] { port, bus, executable, user, json }) command.Add(option);
        command.Validators.Add(result =>
        {
            if (result.GetResult(port) is not null && result.GetResult(bus) is not null) result.AddError("--port and --bus exclude each other: a service begins with one rig. Leave one out.");
        });
        command.SetAction(parsed =>
        {
            string[] arguments = parsed.GetValue(port) is { } p ? ["--port", p] : parsed.GetValue(bus) is { } b ? ["--bus", Path.GetFullPath(b)] : [];
            var program = parsed.GetValue(executable) ?? Environment.ProcessPath ?? "/usr/bin/sweeprig";
            Print(context, parsed.GetValue(json), "/etc/systemd/system/sweeprig.service", SystemFiles.Unit(program, arguments, parsed.GetValue(user) ?? "sweeprig"));
            return ExitCode.Good;
        });
        return command;
    }

    private static ExampledCommand UdevRule(CliContext context)
    {
        var command = new ExampledCommand(
            "udev-rule", "Prints a udev rule for the rig's serial port: a name that stays, the group dialout, no ModemManager.",
            new Example("sweeprig service udev-rule", "For all USB adapters that have a serial number."),
            new Example("sweeprig service udev-rule --serial A10K5PXY", "For one; then /dev/sweeprig/A10K5PXY."))
        {
            Notes = ["Put it into /etc/udev/rules.d and say sudo udevadm control --reload && sudo udevadm trigger.", ""],
        };
        var serial = Bounded.Text("--serial", "TEXT", "Serial number of the adapter (default: all that have one)", 64, "It is what lsusb -v shows as iSerial.");
        serial.Validators.Add(result =>
        {
            if (result.Tokens is [{ Value: var text }] && !text.All(c => char.IsAsciiLetterOrDigit(c) || c is '_' or '-' or '.'))
                result.AddError($"--serial {text}: allowed is letters, digits, _, - and dots. It is what lsusb -v shows as iSerial.");
        });
        var json = SharedOptions.Json();
        command.Add(serial);
        command.Add(json);
        command.SetAction(parsed =>
        {
            Print(context, parsed.GetValue(json), "/etc/udev/rules.d/70-sweeprig.rules", SystemFiles.UdevRule(parsed.GetValue(serial)));
            return ExitCode.Good;
        });
        return command;
    }

    private static ExampledCommand LogIds(CliContext context)
    {
        var command = new ExampledCommand(
            "log-ids", "Lists the ids of the lines that the service logs, what each means and what to do.",
            new Example("sweeprig service log-ids", "All of them."),
            new Example("journalctl -u sweeprig --grep '\\[1201\\]'", "All trips in the log of the service."));
        var json = SharedOptions.Json();
        command.Add(json);
        command.SetAction(parsed =>
        {
            if (parsed.GetValue(json))
            {
                CliJson.Write(context.Terminal, LogEvents.All);
                return ExitCode.Good;
            }
            context.Terminal.Lines(LogEvents.All.Select(e => $"{e.Id}  {e.Meaning}{(e.Remedy is null ? "" : $" {e.Remedy}")}"));
            return ExitCode.Good;
        });
        return command;
    }

    private static void Print(CliContext context, bool json, string place, string text)
    {
        if (json) CliJson.Write(context.Terminal, new { place, text });
        else context.Terminal.Out.Write(text);
    }
}
