namespace SweepRig.Nights;

/// <summary>What became of the night, told by those who looked on and by what is in the store.</summary>
/// <param name="Passed">Steps done, nothing spoke against the tube.</param>
/// <param name="Repeated">Steps that were begun more than once.</param>
/// <param name="Reported">Steps that failed or were left out, each with its reason on record.</param>
/// <param name="Unaccounted">Steps of which the store does not say what came of them.</param>
/// <param name="Runs">Runs on record.</param>
/// <param name="SamplesAcknowledged">Samples that the store said it had.</param>
/// <param name="SamplesLost">Of these, those that are not there, or otherwise than they were measured.</param>
/// <param name="UnsafeStates">What the watchers of the rigs must never see, in words.</param>
/// <param name="Faults">Faults put in, by kind.</param>
/// <param name="HeapByHour">Managed memory after a collection, bytes, the least of several looks in each hour.</param>
/// <param name="ResidentByHour">Memory of the process, bytes, likewise.</param>
/// <param name="NightTime">As the rigs' clocks have it.</param>
/// <param name="RealTime">That it took.</param>
/// <param name="Violations">All else that must not happen, in words.</param>
public sealed record TrialVerdict(
    int Passed, int Repeated, int Reported, int Unaccounted, int Runs, long SamplesAcknowledged, long SamplesLost, IReadOnlyList<string> UnsafeStates, IReadOnlyDictionary<string, int> Faults,
    IReadOnlyList<long> HeapByHour, IReadOnlyList<long> ResidentByHour, TimeSpan NightTime, TimeSpan RealTime, IReadOnlyList<string> Violations)
{
    /// <summary>Memory of the last hour over that of the second.</summary>
    public double HeapRatio => HeapByHour.Count < 3 ? 1 : (double)HeapByHour[^1] / HeapByHour[1];

    /// <inheritdoc cref="HeapRatio"/>
    public double ResidentRatio => ResidentByHour.Count < 3 ? 1 : (double)ResidentByHour[^1] / ResidentByHour[1];
}
