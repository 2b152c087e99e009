using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;

namespace SweepRig.Sweeps.Studies;

/// <summary>A study as a state without clock or hardware: what to do next follows from what was seen. Immutable.</summary>
public interface IStudy
{
    RigIdentity Rig { get; }

    StudySetup Setup { get; }

    /// <summary>Acts that are over.</summary>
    int Done { get; }

    /// <summary>When the last of them was over, since the study began.</summary>
    TimeSpan Elapsed { get; }

    /// <summary>The next act; <see cref="StudyAct.Finish"/> once there is none.</summary>
    StudyAct Next { get; }

    /// <summary>What is still to be expected, at most.</summary>
    StudyForecast Left { get; }

    /// <summary>What was found, so far or at the end.</summary>
    StudyFindings Findings { get; }

    /// <summary>Goes on with what became of the next act.</summary>
    /// <exception cref="InvalidOperationException">The result is not of the act that is due.</exception>
    IStudy With(StudyResult result);
}

/// <summary>What a study may still take.</summary>
/// <param name="Acts">Acts at most.</param>
/// <param name="Time">Longest, warm-up included.</param>
/// <param name="HeaterTime">Of it with the heater on.</param>
/// <param name="Ceiling">Highest drive of all acts; 0 V where none goes positive.</param>
public sealed record StudyForecast(int Acts, TimeSpan Time, TimeSpan HeaterTime, Volts Ceiling);
