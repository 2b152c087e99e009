using SweepRig.Domain;

namespace SweepRig.Tubes.Catalogue;

/// <summary>What a user's type may not do to the types that are there. Pure.</summary>
internal static class UserTypeRules
{
    /// <param name="type">Of a user, with its file.</param>
    /// <param name="there">All types read before it.</param>
    /// <returns>Null when it may stand beside, or in place of, what is there.</returns>
    public static Refusal? Fault(TubeType type, IReadOnlyList<TubeType> there)
    {
        var replaced = type.Replaces is { } name ? there.FirstOrDefault(t => t.File is null && t.IsCalled(name)) : null;
        if (type.Replaces is not null && replaced is null)
        {
            return new("replaces-nothing", "/replaces", $"\"{type.Replaces}\" is to be replaced", "SweepRig brings no type of that name, or another file replaces it already",
                "Leave \"replaces\" out, or see sweeprig types list.");
        }
        if (type.Names.GroupBy(n => n, StringComparer.OrdinalIgnoreCase).FirstOrDefault(g => g.Count() > 1) is { } twice)
            return new("name-twice", "/aliases", $"{type.Name} has the name {twice.Key} twice", "each name may stand once", "Delete one of them.");
        foreach (var other in there.Where(t => t != replaced))
        {
            if (type.Names.FirstOrDefault(other.IsCalled) is not { } shared) continue;
            return new(
                "type-known", string.Equals(shared, type.Name, StringComparison.OrdinalIgnoreCase) ? "/type" : "/aliases", $"a type called {shared} stands here",
                $"{(other.File is { } file ? $"{file} has it" : "SweepRig brings it")} as {other.Name}, which stays in force",
                other.File is null ? $"Add \"replaces\": \"{other.Name}\" if yours is to stand in for it, or give it another name." : "Delete one of the two files, or give one another name.");
        }
        // Whoever knows a maker's sheet better may correct a limit, but not make a filling harmless.
        if (replaced?.NotSweptBecause is { } because)
        {
            return new("not-to-be-replaced", "/replaces", $"{replaced.Name} is to be replaced", $"it is never swept: {because}",
                "Give a vacuum tube that bears another filling's name a name of its own.");
        }
        return null;
    }
}
