using System.Text.Json;

namespace SweepRig.Domain.Rigs.Documents;

/// <summary>Keys and forms that reader, writer and procedure share.</summary>
internal static class CalibrationText
{
    public const int MaxNote = 500;

    public const string TimeFormat = "yyyy-MM-dd'T'HH:mm:ss.fff'Z'";

    public static string Key<T>(T value)
        where T : struct, Enum => JsonNamingPolicy.CamelCase.ConvertName(value.ToString());

    public static string Time(DateTimeOffset time) => time.UtcDateTime.ToString(TimeFormat, System.Globalization.CultureInfo.InvariantCulture);
}
