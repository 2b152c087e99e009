using System.Text.Encodings.Web;
using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Service.Api;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli;

/// <summary>Results as JSON: the same names and shapes as REST has them.</summary>
public static class CliJson
{
    private static readonly JsonSerializerOptions Options = Make();

    public static void Write<T>(CliTerminal terminal, T value) => terminal.Line(Text(value));

    public static string Text<T>(T value) => JsonSerializer.Serialize(value, Options);

    /// <summary>What was refused, for a program; people read it on standard error.</summary>
    public static void WriteRefusals(CliTerminal terminal, IReadOnlyList<Refusal> refusals) =>
        Write(terminal, new { refusals = refusals.Select(r => new RefusalView(r.Code, r.Path, r.Asked, r.Allowed, r.Remedy)) });

    private static JsonSerializerOptions Make()
    {
        var options = new JsonSerializerOptions
        {
            WriteIndented = true,
            // Written to a terminal or file, never into a page: "µ" and "±" stay readable.
            Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        };
        ApiJson.Apply(options);
        return options;
    }
}
