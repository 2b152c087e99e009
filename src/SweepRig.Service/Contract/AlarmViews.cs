namespace SweepRig.Service.Contract;

/// <summary>Where alarms go and what became of them. It gives away no secret, and nothing of it can be changed from here.</summary>
/// <param name="Faults">What is wrong with the file; then no alarm goes anywhere.</param>
/// <param name="Waiting">Messages that are still tried, the oldest first.</param>
/// <param name="Done">What became of the last ones, the newest first.</param>
public sealed record AlarmStatusView(AlarmWayView[] Ways, string[] Faults, WaitingAlarmView[] Waiting, DoneAlarmView[] Done);

/// <param name="Where">Address, receivers or program.</param>
public sealed record AlarmWayView(string Name, [property: OneOf("webhook", "mail", "command")] string Kind, string Where);

/// <param name="Tries">Attempts that failed so far.</param>
/// <param name="Fault">Why the last one did; null before it.</param>
public sealed record WaitingAlarmView(string Way, string Subject, string SinceUtc, int Tries, string? Fault);

/// <param name="Fault">Why it was given up; null for one that was delivered.</param>
public sealed record DoneAlarmView(string Way, string Subject, string SentUtc, string DoneUtc, int Tries, string? Fault);
