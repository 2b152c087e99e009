using SweepRig.Analysis;
using SweepRig.Domain.Studies;

namespace SweepRig.Sweeps.Studies;

/// <summary>Why a study came to its end.</summary>
public enum StudyEnd
{
    /// <summary>It has not.</summary>
    UnderWay,

    /// <summary>All that was asked for was done.</summary>
    Completed,

    /// <summary>The output rises again with more drive, beyond doubt.</summary>
    FoldBack,

    /// <summary>The next step would pass a limit, or the last one came too near to it.</summary>
    Limit,

    /// <summary>The tube is no longer as it was.</summary>
    NotRecovered,

    /// <summary>The tube did not repeat before anything was done to it, so that nothing could be told of it afterwards.</summary>
    Unsteady,

    /// <summary>The tube has lost more than it may.</summary>
    WornOut,

    /// <summary>The tube does not conduct, hot as it should be.</summary>
    Dead,

    /// <summary>An interlock fired.</summary>
    Tripped,

    /// <summary>A run did not come to its end, or the bench refused one.</summary>
    Failed,
}

/// <summary>A figure of a study.</summary>
/// <param name="Word">Kebab-case, the study's kind before a dot.</param>
/// <param name="Meaning">For people.</param>
public sealed record StudyFigure(string Word, string Meaning, Figure Value);

/// <summary>A quantity against another, over the steps of a study. Columns of equal length; NaN where there is no value.</summary>
/// <param name="Word">Kebab-case.</param>
/// <param name="XMeaning">For people.</param>
/// <param name="XUnit">SI symbol.</param>
/// <param name="YMeaning">For people.</param>
/// <param name="YUnit">SI symbol.</param>
/// <param name="Uncertainty">Standard uncertainty of each y; NaN where it was not estimated.</param>
public sealed record StudySeries(
    string Word, string XMeaning, string XUnit, string YMeaning, string YUnit, IReadOnlyList<double> X, IReadOnlyList<double> Y, IReadOnlyList<double> Uncertainty);

/// <summary>What a study has found, so far or at its end.</summary>
/// <param name="Because">One or two sentences for people: why it ended, with the value and the limit; empty while it is under way.</param>
/// <param name="Figures">The one that matters most first.</param>
/// <param name="Series">For drawing.</param>
/// <param name="Notes">What to know before relying on it: methods, sources, what was left out.</param>
public sealed record StudyFindings(
    StudyKind Kind, StudyEnd End, string Because, IReadOnlyList<StudyFigure> Figures, IReadOnlyList<StudySeries> Series, IReadOnlyList<string> Notes);
