using System.Text;

namespace SweepRig.Service.Cli.Terminal;

/// <summary>The terminal that this process was started from. Nothing else of the command line names the system's console.</summary>
public static class SystemTerminal
{
    private const int UsualWidth = 80;

    public static CliContext Context() => new(Open(), Console.In, TimeProvider.System, Environment.GetEnvironmentVariable);

    private static CliTerminal Open()
    {
        // https://no-color.org: any value that is not empty.
        var plain = Environment.GetEnvironmentVariable("NO_COLOR") is { Length: > 0 } || Environment.GetEnvironmentVariable("TERM") is null or "dumb";
        return new(
            Writer(Console.OpenStandardOutput()), Writer(Console.OpenStandardError()),
            !Console.IsOutputRedirected, !Console.IsErrorRedirected, !plain, Width());
    }

    // Without a byte order mark, which a reader of JSON or CSV would stumble over.
    private static StreamWriter Writer(Stream stream) => new(stream, new UTF8Encoding(false)) { AutoFlush = true };

    private static int Width()
    {
        if (Console.IsOutputRedirected && Console.IsErrorRedirected) return UsualWidth;
        try
        {
            return Console.WindowWidth is var width and > 0 ? width : UsualWidth;
        }
        catch (IOException)
        {
            return UsualWidth;
        }
    }
}
