using System.Runtime.InteropServices;
using SweepRig.Service.Cli;
using SweepRig.Service.Cli.Terminal;

// Two cores give the pool two threads to start with, and it adds more only twice a second: a few blocking calls while the program warms up would
// starve the link's owner task for longer than the rig's lease.
ThreadPool.SetMinThreads(16, 16);

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
