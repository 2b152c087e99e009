using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Studies;
using SweepRig.Sweeps.Screening;

namespace SweepRig.Sweeps.Studies;

/// <summary>What a study wants done next.</summary>
/// <param name="Title">For people, in a few words.</param>
public abstract record StudyAct(string Title)
{
    /// <summary>Run this plan on the study's tube in its socket. Ends with <see cref="StudyResult.Ran"/>.</summary>
    /// <param name="Ceiling">Highest drive, for which a permit must be in force; 0 V where none is needed.</param>
    public sealed record Sweep(string Title, StudyRole Role, SweepPlan Plan, Volts Ceiling) : StudyAct(Title);

    /// <summary>Run this pass as soon as its supplies stand, warm or not, never above 0 V. Ends with <see cref="StudyResult.Ran"/>.</summary>
    public sealed record Watch(string Title, StudyRole Role, ScreeningStep Step) : StudyAct(Title);

    /// <summary>Switch the heater on, or to another voltage. Ends with <see cref="StudyResult.Done"/> once it is on, not once the cathode is warm.</summary>
    public sealed record Heat(string Title, Volts Heater) : StudyAct(Title);

    /// <summary>Switch the heater off. Ends with <see cref="StudyResult.Done"/>.</summary>
    public sealed record Cool(string Title) : StudyAct(Title);

    /// <summary>Leave the tube as it is until so long after the study began, by the monotonic clock; over at once where that has passed. Ends with <see cref="StudyResult.Done"/>.</summary>
    public sealed record WaitUntil(string Title, TimeSpan SinceBegin) : StudyAct(Title);

    /// <summary>Nothing is left to do. What was found is in <see cref="IStudy.Findings"/>.</summary>
    public sealed record Finish(string Title) : StudyAct(Title);
}
