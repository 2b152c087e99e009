namespace SweepRig.Sweeps.Interlocks.Invariants;

/// <summary>A safety statement, written once, that must hold of everything of its kind.</summary>
/// <param name="Name">Kebab-case, for logs and counterexamples.</param>
/// <param name="Statement">What always holds, for people.</param>
/// <param name="Practice">Published practice that it follows, and how sure the citation is.</param>
/// <param name="Holds">Pure and cheap. False where the statement is broken.</param>
public sealed record Invariant<T>(string Name, string Statement, string Practice, Invariant<T>.Test Holds)
    where T : struct
{
    public delegate bool Test(in T picture);
}
