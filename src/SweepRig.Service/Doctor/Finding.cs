namespace SweepRig.Service.Doctor;

public enum Verdict
{
    Good,

    /// <summary>It works, and somebody should look at it before a night alone.</summary>
    Look,

    /// <summary>It does not work.</summary>
    Bad,
}

/// <summary>One line of an examination.</summary>
/// <param name="Topic">One or two words; several findings may have the same.</param>
/// <param name="Found">What was found, with values and units; a sentence without its full stop.</param>
/// <param name="Remedy">What to do, a whole sentence; null where nothing is to be done.</param>
public sealed record Finding(string Topic, Verdict Verdict, string Found, string? Remedy = null)
{
    public static Finding Good(string topic, string found) => new(topic, Verdict.Good, found);

    public static Finding Look(string topic, string found, string remedy) => new(topic, Verdict.Look, found, remedy);

    public static Finding Bad(string topic, string found, string remedy) => new(topic, Verdict.Bad, found, remedy);
}
