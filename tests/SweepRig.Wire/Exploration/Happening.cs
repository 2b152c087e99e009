namespace SweepRig.Wire.Exploration;

internal enum Kind : byte
{
    TimePasses,
    RigHears,
    HostHears,
    RigHearsHeld,
    HostHearsHeld,
    LosesToRig,
    RepeatsToRig,
    HoldsToRig,
    LosesToHost,
    RepeatsToHost,
    HoldsToHost,
    StartsNegative,
    StartsPositive,
    StartsWrong,
    StartsUnpermitted,
    Stops,
    Grants,
    EndsPermit,
    Presses,
    LetsGo,
    OrdersSafe,
    Surrounds,
    CablePulled,
    LineSilent,
    LineBack,
    RigResets,
    HostDies,
    HostIsBorn,
}

/// <summary>One event.</summary>
/// <param name="Around">Of <see cref="Kind.Surrounds"/>.</param>
internal readonly record struct Happening(Kind Kind, Around Around = Around.Quiet)
{
    private const int Kinds = 32;

    public byte Code => (byte)((int)Kind + Kinds * (int)Around);

    public static Happening Of(byte code) => new((Kind)(code % Kinds), (Around)(code / Kinds));

    public bool IsFault => Kind is >= Kind.LosesToRig and <= Kind.HoldsToHost;

    public bool IsIncident => Kind is Kind.OrdersSafe or Kind.StartsWrong or Kind.StartsUnpermitted or Kind.CablePulled or Kind.LineSilent or Kind.RigResets or Kind.HostDies || (Kind == Kind.Surrounds && Around != Around.Quiet);
}
