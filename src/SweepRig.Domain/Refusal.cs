namespace SweepRig.Domain;

/// <summary>A reason why something asked for is not done. A value, never an exception.</summary>
/// <param name="Code">Stable kebab-case identifier, for example <c>drive-above-ceiling</c>.</param>
/// <param name="Path">Where in the document or command the fault lies, as a JSON Pointer (RFC 6901); empty for the whole.</param>
/// <param name="Asked">What was asked, with its value and unit.</param>
/// <param name="Allowed">What is allowed, with its limit and unit.</param>
/// <param name="Remedy">What to do next.</param>
public sealed record Refusal(string Code, string Path, string Asked, string Allowed, string Remedy)
{
    /// <summary>One line: where, what was asked, what is allowed, what to do.</summary>
    public override string ToString() => $"{(Path.Length == 0 ? "" : Path + ": ")}{Asked}; {Allowed}. {Remedy}";
}
