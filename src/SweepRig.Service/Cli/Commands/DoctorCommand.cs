using System.CommandLine;
using SweepRig.Rigs.Serial;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Doctor;

namespace SweepRig.Service.Cli.Commands;

/// <summary>Says what is wrong with the computer, the store, the port or the rig, and what to do.</summary>
public static class DoctorCommand
{
    public static Command Build(CliContext context)
    {
        var command = new ExampledCommand(
            "doctor", "Looks at service, data, disk, store, clock, memory, ports, rig and calibration, and says what to do. Safe beside a running service. Exit code 1 if something is bad.",
            new Example("sweeprig doctor", "Before a night; when something does not work."),
            new Example("sweeprig doctor --port /dev/ttyUSB0", "Asks the rig on that port who it is, while no service has it."),
            new Example("sweeprig doctor --json", "For a program that watches."));
        var (port, baud, data, json) = (SharedOptions.Port(), SharedOptions.Baud(), SharedOptions.Data(), SharedOptions.Json());
        port.Description = "Serial port to look at, and to ask for its rig where no service runs (default: all that are present)";
        command.Add(port);
        command.Add(baud);
        command.Add(data);
        command.Add(json);
        command.SetAction(async (parsed, cancellation) =>
        {
            var examination = new Examination(new LinuxMachine(context.Time), context.Time);
            var findings = await examination.MakeAsync(context.Store(parsed.GetValue(data)), parsed.GetValue(port), parsed.GetValue(baud) ?? SerialRigPort.DefaultBaud, cancellation);
            var terminal = context.Terminal;
            if (parsed.GetValue(json)) CliJson.Write(terminal, ExaminationView.Of(findings));
            else foreach (var line in DoctorText.Lines(findings, terminal.OutInk, terminal.OutputIsTerminal ? terminal.Width : null)) terminal.Line(line);
            return findings.Any(f => f.Verdict == Verdict.Bad) ? ExitCode.Failed : ExitCode.Good;
        });
        return command;
    }
}
