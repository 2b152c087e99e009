using System.Runtime.InteropServices;
using SweepRig.Service.Cli;
using SweepRig.Service.Cli.Terminal;

using var ending = new CancellationTokenSource();

// The first Ctrl+C asks for a clean end with the rig safe; a second one is left to the system, which ends the process, and the rig's lease does the rest.
void AskToEnd(PosixSignalContext signal)
{
    if (ending.IsCancellationRequested) return;
    signal.Cancel = true;
    _ = ending.CancelAsync();
}

using var interrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, AskToEnd);
using var terminate = PosixSignalRegistration.Create(PosixSignal.SIGTERM, AskToEnd);
using var hangUp = PosixSignalRegistration.Create(PosixSignal.SIGHUP, AskToEnd);

return await CommandLine.RunAsync(args, SystemTerminal.Context(), ending.Token);
