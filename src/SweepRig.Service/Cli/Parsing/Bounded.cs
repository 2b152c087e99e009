using System.CommandLine;
using System.Globalization;

namespace SweepRig.Service.Cli.Parsing;

/// <summary>Options whose values have limits. A value outside gets one line with value, limits and remedy.</summary>
public static class Bounded
{
    /// <param name="unit">After the limits, for example <c>V</c>; may be empty.</param>
    /// <param name="remedy">What to give instead; a whole sentence.</param>
    public static Option<double?> Number(string name, string valueName, string description, double min, double max, string unit, string remedy, bool aboveMin = false) =>
        new(name)
        {
            Description = description,
            HelpName = valueName,
            CustomParser = result =>
            {
                var text = result.Tokens[^1].Value;
                if (double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var value) && value >= min && value <= max && !(aboveMin && value == min))
                    return value;
                result.AddError($"{name} {text}: allowed is {Range(min, max, unit, aboveMin)}. {remedy}");
                return null;
            },
        };

    public static Option<int?> Whole(string name, string valueName, string description, int min, int max, string unit, string remedy) =>
        new(name)
        {
            Description = description,
            HelpName = valueName,
            CustomParser = result =>
            {
                var text = result.Tokens[^1].Value;
                if (int.TryParse(text, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var value) && value >= min && value <= max) return value;
                result.AddError($"{name} {text}: allowed is a whole number, {Range(min, max, unit, false)}. {remedy}");
                return null;
            },
        };

    /// <summary>A text that must say something.</summary>
    public static Option<string?> Text(string name, string valueName, string description, int maxLength, string remedy)
    {
        var option = new Option<string?>(name) { Description = description, HelpName = valueName };
        option.Validators.Add(result =>
        {
            if (result.Tokens.Count == 0) return;
            var text = result.Tokens[^1].Value;
            if (string.IsNullOrWhiteSpace(text) || text.Length > maxLength || text.Any(char.IsControl))
                result.AddError($"{name} \"{Shortened(text)}\": allowed are 1 to {maxLength} printable characters, not blank. {remedy}");
        });
        return option;
    }

    private static string Shortened(string text) => text.Length <= 40 ? text : text[..40] + "...";

    private static string Range(double min, double max, string unit, bool aboveMin)
    {
        var upTo = unit.Length == 0 ? Write(max) : $"{Write(max)} {unit}";
        return aboveMin ? $"above {Write(min)} and at most {upTo}" : $"{Write(min)} to {upTo}";
    }

    private static string Write(double value) => value.ToString("0.######", CultureInfo.InvariantCulture);
}
