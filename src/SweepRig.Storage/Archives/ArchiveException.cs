using SweepRig.Domain;

namespace SweepRig.Storage.Archives;

/// <summary>An archive is not what it must be. Nothing of it was taken in.</summary>
public sealed class ArchiveException(string code, string what, string allowed, string remedy, Exception? inner = null) : Exception($"{what}; {allowed}. {remedy}", inner)
{
    public Refusal Refusal { get; } = new(code, "", what, allowed, remedy);
}
