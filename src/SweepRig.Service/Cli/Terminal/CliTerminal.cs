using Spectre.Console;

namespace SweepRig.Service.Cli.Terminal;

/// <summary>Where a command writes: results to <see cref="Out"/>, errors and progress to <see cref="Error"/>.</summary>
/// <param name="output">Standard output.</param>
/// <param name="error">Standard error.</param>
/// <param name="outputIsTerminal">A person reads standard output; false when it goes to a file or pipe.</param>
/// <param name="errorIsTerminal">The same of standard error.</param>
/// <param name="colours">Colours are wanted where a person reads.</param>
/// <param name="width">Columns of the terminal.</param>
public sealed class CliTerminal(TextWriter output, TextWriter error, bool outputIsTerminal, bool errorIsTerminal, bool colours, int width)
{
    /// <summary>Narrowest and widest that is written for, whatever the terminal says.</summary>
    public const int MinWidth = 60, MaxWidth = 110;

    public TextWriter Out => output;

    public TextWriter Error => error;

    public bool OutputIsTerminal => outputIsTerminal;

    public bool ErrorIsTerminal => errorIsTerminal;

    /// <summary>Columns for results; a file or pipe has no width of its own.</summary>
    public int Width { get; } = outputIsTerminal ? Math.Clamp(width, MinWidth, MaxWidth) : MaxWidth;

    /// <summary>Columns for a live display.</summary>
    public int LiveWidth { get; } = Math.Clamp(width, MinWidth, MaxWidth);

    /// <summary>Marks for <see cref="Out"/>.</summary>
    public Ink OutInk { get; } = new(outputIsTerminal && colours);

    /// <summary>Marks for <see cref="Error"/>.</summary>
    public Ink ErrorInk { get; } = new(errorIsTerminal && colours);

    public void Line(string text = "") => output.WriteLine(text);

    /// <summary>Lines of prose and tables: on a terminal what is longer than it is wide goes on in the next line, further in; a file or pipe gets each in one piece.</summary>
    public void Lines(IEnumerable<string> lines)
    {
        foreach (var line in lines)
            foreach (var part in outputIsTerminal ? WrappedText.Of(line, Width) : [line]) Line(part);
    }

    /// <summary>One line on standard error.</summary>
    public void Complain(string message) => error.WriteLine($"{ErrorInk.Alarm("sweeprig:")} {message}");

    /// <summary>A console for a live display on standard error. Made only when used: loading it takes time.</summary>
    public IAnsiConsole LiveConsole() => AnsiConsole.Create(new AnsiConsoleSettings
    {
        Ansi = AnsiSupport.Yes,
        ColorSystem = colours ? ColorSystemSupport.Standard : ColorSystemSupport.NoColors,
        Interactive = InteractionSupport.Yes,
        Out = new LiveOutput(error, width),
    });

    private sealed class LiveOutput(TextWriter writer, int columns) : IAnsiConsoleOutput
    {
        public TextWriter Writer => writer;

        public bool IsTerminal => true;

        public int Width => columns;

        public int Height => 24;

        public void SetEncoding(System.Text.Encoding encoding)
        {
        }
    }
}
