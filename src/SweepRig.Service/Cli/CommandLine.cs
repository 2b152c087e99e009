using System.CommandLine;
using System.CommandLine.Help;
using SweepRig.Rigs.Link;
using SweepRig.Service.Cli.Commands;
using SweepRig.Service.Cli.Commands.Archives;
using SweepRig.Service.Cli.Commands.Installing;
using SweepRig.Service.Cli.Commands.Logic;
using SweepRig.Service.Cli.Commands.Nights;
using SweepRig.Service.Cli.Commands.Stock;
using SweepRig.Service.Cli.Commands.Store;
using SweepRig.Service.Cli.Commands.Types;
using SweepRig.Service.Cli.Parsing;
using SweepRig.Service.Hosting;

namespace SweepRig.Service.Cli;

/// <summary>The commands of <c>sweeprig</c>.</summary>
public static class CommandLine
{
    public static async Task<int> RunAsync(string[] args, CliContext context, CancellationToken cancellationToken)
    {
        var terminal = context.Terminal;
        var parsed = Build(context).Parse(args);
        if (parsed.Errors.Count > 0 && parsed.Action is not HelpWithExamples)
        {
            foreach (var fault in ParseFaults.Of(parsed)) terminal.Complain(fault);
            return ExitCode.BadInput;
        }
        try
        {
            var store = await StoreArguments.ReadAsync(parsed, context, cancellationToken);
            if (!store.IsAccepted)
            {
                foreach (var refusal in store.Refusals) terminal.Complain(refusal.ToString());
                return ExitCode.BadInput;
            }
            // The commands are made of their context, and the store is a part of it that only the parsed line tells.
            if (store.Value.Postgres is not null) parsed = Build(store.Value).Parse(args);
            return await parsed.InvokeAsync(
                new() { Output = terminal.Out, Error = terminal.Error, EnableDefaultExceptionHandler = false, ProcessTerminationTimeout = null }, cancellationToken);
        }
        catch (OperationCanceledException) when (cancellationToken.IsCancellationRequested)
        {
            terminal.Complain("Ended by Ctrl+C before the work was done.");
            return ExitCode.Failed;
        }
        catch (BenchStartException fault)
        {
            terminal.Complain(OneLine(fault.Message));
            return fault.BadInput ? ExitCode.BadInput : ExitCode.Failed;
        }
        catch (RigPortException fault)
        {
            terminal.Complain(OneLine(fault.Message));
            return ExitCode.BadInput;
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            terminal.Complain(OneLine(fault.Message));
            return ExitCode.Failed;
        }
        catch (Exception fault)
        {
            // Nobody foresaw this one, so all of it is told; it is not the user's wiring.
            terminal.Complain($"SweepRig bug: {OneLine(fault.Message)} Please report it with what follows.");
            terminal.Error.WriteLine(fault);
            return ExitCode.Failed;
        }
    }

    /// <summary>The whole tree.</summary>
    public static Command Build(CliContext context)
    {
        var root = new ExampledCommand(
            "sweeprig",
            "Measures receiving tubes as a logic circuit on a low rail will use them: sweeps the grid drive under interlocks, keeps every sample, tells the levels.",
            new Example("sweeprig demo", "See it all on a simulated rig; nothing is needed."),
            new Example("sweeprig serve --port /dev/ttyUSB0", "Serve the bench of the rig on that port."))
        {
            DemoCommand.Build(context),
            ServeCommand.Build(context),
            SweepCommand.Build(context),
            ScreenCommand.Build(context),
            ExploreCommand.Build(context),
            RoundCommand.Build(context),
            NightCommand.Build(context),
            SimulateCommand.Build(context),
            RunsCommand.Build(context),
            EventsCommand.Build(context),
            AlarmsCommand.Build(context),
            AnalyseCommand.Build(context),
            ExportCommand.Build(context),
            FitCommand.Build(context),
            AskCommand.Build(context),
            FamilyCommand.Build(context),
            PermitCommand.Build(context),
            InterlocksCommand.Build(context),
            LogicCommand.Build(context),
            CalibrateCommand.Build(context),
            StockCommand.Build(context),
            TypesCommand.Build(context),
            MatchCommand.Build(context),
            GradeCommand.Build(context),
            SpareCommand.Build(context),
            DriftCommand.Build(context),
            ReportCommand.Build(context),
            ArchiveCommand.Build(context),
            StoreCommand.Build(context),
            DoctorCommand.Build(context),
            ServiceCommand.Build(context),
            BenchActCommand.Safe(context),
            BenchActCommand.Acknowledge(context),
        };
        var help = new HelpOption();
        help.Action = new HelpWithExamples((HelpAction)help.Action!, context.Terminal.Width);
        root.Add(help);
        StoreArguments.AddTo(root);
        root.Add(new VersionOption());
        root.SetAction(parsed => help.Action is HelpWithExamples action ? action.Invoke(parsed) : ExitCode.Failed);
        return root;
    }

    private static string OneLine(string message) => string.Join(' ', message.Split(['\r', '\n'], StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries));
}
