using SweepRig.Storage.Tests.Disks;
using SweepRig.Storage.Tests.Support;

// The tests; or, when a test asks for it, a process that a test kills or watches.
return args switch
{
    [Victim.Argument, var directory] => await Victim.RecordUntilKilledAsync(directory),
    [RecordingVictim.RecordArgument, var directory] => await RecordingVictim.RecordAsync(directory),
    [RecordingVictim.CountArgument, var directory] => await RecordingVictim.CountFaultsAsync(directory),
    _ => await Xunit.Runner.InProc.SystemConsole.ConsoleRunner.Run(args),
};
