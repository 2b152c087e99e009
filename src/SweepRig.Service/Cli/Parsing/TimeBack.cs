using System.CommandLine;
using System.Globalization;
using System.Text.RegularExpressions;

namespace SweepRig.Service.Cli.Parsing;

/// <summary>A time in the past: so long ago, or a date.</summary>
public static partial class TimeBack
{
    public const string Allowed = "a time before now: so long ago (45min, 8h, 2d), or a date and time as 2026-11-26T21:30, which is taken as UTC unless it says otherwise";

    public static Option<string?> Option(string name, string description)
    {
        var option = new Option<string?>(name) { Description = description, HelpName = "TIME" };
        option.Validators.Add(result =>
        {
            // Whether it lies in the past is asked of the clock of the command.
            if (result.Tokens.Count > 0 && Parse(result.Tokens[^1].Value, DateTimeOffset.MaxValue) is null) result.AddError($"{name} {result.Tokens[^1].Value}: allowed is {Allowed}. Give for example {name} 12h.");
        });
        return option;
    }

    /// <returns>The time; null when it cannot be read, or is not before now.</returns>
    public static DateTimeOffset? Parse(string text, DateTimeOffset now)
    {
        if (Ago().Match(text) is { Success: true } ago && double.TryParse(ago.Groups[1].Value, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var number))
        {
            var days = ago.Groups[2].Value switch { "min" => number / 1440, "h" => number / 24, _ => number };
            return days <= 36_500 ? now - TimeSpan.FromDays(days) : null;
        }
        string[] forms = ["yyyy-MM-dd", "yyyy-MM-dd'T'HH:mm", "yyyy-MM-dd'T'HH:mm:ss", "yyyy-MM-dd'T'HH:mmK", "yyyy-MM-dd'T'HH:mm:ssK", "yyyy-MM-dd'T'HH:mm:ss.FFFFFFFK"];
        return DateTimeOffset.TryParseExact(text, forms, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out var time) && time <= now ? time : null;
    }

    [GeneratedRegex(@"^(\d{1,9}(?:\.\d{1,9})?)(min|h|d)$", RegexOptions.CultureInvariant)]
    private static partial Regex Ago();
}
