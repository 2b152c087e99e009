namespace SweepRig.Service.Cli.Terminal;

/// <summary>Marks text for a terminal with SGR codes (ECMA-48, 8.3.117), or leaves it plain.</summary>
public readonly record struct Ink(bool On)
{
    public string Strong(string text) => Mark("1", text);

    public string Faint(string text) => Mark("2", text);

    public string Alarm(string text) => Mark("1;31", text);

    private string Mark(string code, string text) => On && text.Length > 0 ? $"\u001b[{code}m{text}\u001b[0m" : text;
}
