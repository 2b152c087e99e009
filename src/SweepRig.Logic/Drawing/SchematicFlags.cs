using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Drawing;

/// <summary>What stands at the named end of a wire: the symbol of ground, or a small open circle.</summary>
public static class SchematicFlags
{
    public static IReadOnlyList<DrawnShape> Shapes(DrawnFlag flag)
    {
        ArgumentNullException.ThrowIfNull(flag);
        return flag.Node == Network.Ground ? Symbols.Ground(flag.At.X, flag.At.Y) : [new DrawnCircle(flag.At, 3)];
    }
}
