using SweepRig.Domain;
using SweepRig.Domain.Studies;
using SweepRig.Domain.Tubes;

namespace SweepRig.Sweeps.Studies;

/// <summary>How long the cathode takes from cold, in the very socket.</summary>
/// <param name="Times">From cold so many times; 1 to 20.</param>
public sealed record WarmUpSetup(string StudyId, Tube Tube, int Socket, Connection Fixture, int Times = 3) : StudySetup(StudyId, Tube, Socket, Fixture)
{
    public override StudyKind Kind => StudyKind.WarmUp;

    /// <summary>Cold before each: default 5 min, some tens of time constants of a small cathode and enough for the bulb (common practice, no source).</summary>
    public TimeSpan Cool { get; init; } = TimeSpan.FromMinutes(5);

    /// <summary>Watched from the switching on: default 2 min, as the current goes on rising a little after the cathode is hot.</summary>
    public TimeSpan Watch { get; init; } = TimeSpan.FromMinutes(2);

    /// <summary>What a bench gives a cathode before it sweeps, to compare with; null where it is not known.</summary>
    public TimeSpan? BenchWarmUp { get; init; }

    public IReadOnlyList<Refusal> Faults()
    {
        List<Refusal> faults = [];
        if (Times is < 1 or > 20) faults.Add(new("warm-up-times", "/times", $"{Times} times from cold were asked for", "1 to 20 are allowed", "Take 3."));
        if (Cool < TimeSpan.FromSeconds(10) || Cool > TimeSpan.FromHours(2))
            faults.Add(new("warm-up-cool", "/coolSeconds", FormattableString.Invariant($"cooling for {Cool.TotalSeconds:0.#} s was asked for"), "10 s to 7200 s is allowed", "Take 300 s."));
        if (Watch < TimeSpan.FromSeconds(20) || Watch > TimeSpan.FromMinutes(30))
            faults.Add(new("warm-up-watch", "/watchSeconds", FormattableString.Invariant($"watching for {Watch.TotalSeconds:0.#} s was asked for"), "20 s to 1800 s is allowed", "Take 120 s."));
        return faults;
    }
}
