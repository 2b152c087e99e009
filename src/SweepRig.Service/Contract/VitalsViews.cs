namespace SweepRig.Service.Contract;

/// <summary>That the process answers, and which it is.</summary>
/// <param name="Status">Always <c>alive</c>.</param>
/// <param name="StartedUtc">By the wall clock of then.</param>
/// <param name="UptimeSeconds">By a clock that nobody sets.</param>
public sealed record LiveView(string Status, string Version, int ProcessId, string StartedUtc, double UptimeSeconds);
