namespace SweepRig.Service.Hosting;

/// <summary>The bench cannot start as asked. The message is one line for the operator: value, limit, remedy.</summary>
/// <param name="badInput">True when another option mends it; false when something on the machine stands in the way.</param>
public sealed class BenchStartException(string message, bool badInput, Exception? inner = null) : Exception(message, inner)
{
    public bool BadInput { get; } = badInput;
}
