namespace SweepRig.Analysis.Laws;

/// <summary>Laws of the literature that know no grid current and no fold-back; the model of the tube is held against them.</summary>
public enum PlainLaw
{
    /// <summary>I = G (Vg + Vp/mu)^1.5, triode connection. Langmuir 1913, Phys. Rev. 2, 450.</summary>
    ThreeHalves,

    /// <summary>The same with the exponent fitted, as real tubes want it.</summary>
    FreeExponent,

    /// <summary>Koren's triode, Glass Audio 8/5 (1996), p. 18.</summary>
    KorenTriode,

    /// <summary>Koren's pentode, the same source.</summary>
    KorenPentode,
}
