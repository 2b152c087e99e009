namespace SweepRig.Service.Contract;

/// <summary>The words that a text of the contract can be; they go into the API document.</summary>
[AttributeUsage(AttributeTargets.Property)]
public sealed class OneOfAttribute(params string[] words) : Attribute
{
    public IReadOnlyList<string> Words { get; } = words;
}
