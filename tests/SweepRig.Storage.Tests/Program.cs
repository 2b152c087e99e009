using SweepRig.Storage.Tests.Support;

// The tests; or, when a test asks for it, the process that a test kills.
return args is [Victim.Argument, var directory]
    ? await Victim.RecordUntilKilledAsync(directory)
    : await Xunit.Runner.InProc.SystemConsole.ConsoleRunner.Run(args);
