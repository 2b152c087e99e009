using SweepRig.Rigs.Tests.Support;

namespace SweepRig.Rigs.Tests.Reference;

/// <summary>Where the reference firmware lies.</summary>
internal static class ReferenceFirmware
{
    public static string Directory { get; } = Repository.At("firmware-notes", "reference");

    public static string At(params string[] parts) => Path.Combine([Directory, .. parts]);
}
