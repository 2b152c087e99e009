namespace SweepRig.Service.Contract;

/// <summary>That the process answers, and which it is.</summary>
/// <param name="Status">Always <c>pass</c>.</param>
/// <param name="StartedUtc">By the wall clock of then.</param>
/// <param name="UptimeSeconds">By a clock that nobody sets.</param>
public sealed record LiveView(string Status, string Version, int ProcessId, string StartedUtc, double UptimeSeconds);

/// <summary>Whether a sweep could be begun now. Words of the status: draft-inadarei-api-health-check-06, section 3.1.</summary>
/// <param name="Status"><c>pass</c>; <c>warn</c>: it could, and something is to be looked at; <c>fail</c>: it could not.</param>
/// <param name="RigsConnected">Of <paramref name="Rigs"/>.</param>
/// <param name="Reasons">Empty when all is well.</param>
public sealed record ReadyView(string Status, string Version, int RigsConnected, int Rigs, ReasonView[] Reasons);

/// <param name="Code">Kebab-case, stable.</param>
/// <param name="Rig">Name of the rig it is about; null for all.</param>
/// <param name="Blocks">No sweep can be begun because of it.</param>
public sealed record ReasonView(string Code, string? Rig, bool Blocks, string Message, string Remedy);
