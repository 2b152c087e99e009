namespace SweepRig.Wire.Exploration;

/// <summary>
/// Rows of <c>firmware-notes/interlocks.md</c> for the core whose removal, by the change of <c>tests/interlock-mutations.txt</c>, an exploration must find; and why it does not
/// find the others, which have their tests in <c>make check</c>.
/// </summary>
public static class FirmwareRows
{
    public static IReadOnlyList<string> Found { get; } =
    [
        "F1", "F3", "F4", "F5", "F6", "F7", "F11", "F12", "F13", "F14", "F15", "F16", "F21", "F22", "F23", "F24", "F25", "F32",
    ];

    /// <summary>Found only where the exploration goes as deep as there is anything new, with one fault of the line.</summary>
    public static IReadOnlyList<string> FoundDeep { get; } = ["F27"];

    public static IReadOnlyDictionary<string, string> NotFound { get; } = new Dictionary<string, string>
    {
        ["F2"] = "F6 notices the same read-back a few conversions later",
        ["F8"] = "the budget of time above 0 V is left out of the states",
        ["F9"] = "no bit changes in memory",
        ["F10"] = "no limits are sent",
        ["F17"] = "every frame makes sense",
        ["F18"] = "no frame is damaged, only lost, repeated or late",
        ["F19"] = "the heater's minute is left out of the states",
        ["F26"] = "one fault of the line alone does not do it, however deep: a renewal of an earlier session does harm only when the host dies or falls silent in the new one as well",
        ["F28"] = "a late order to be safe has been repeated by the host before it comes",
        ["F29"] = "the host changes no program under a pass, and late copies are passed over by F27",
        ["F30"] = "the host switches nothing under a pass, and late copies are passed over by F27",
        ["F31"] = "its answers name no session, at which the host's decoder ends the exploration",
        ["F33"] = "every frame makes sense",
    };
}
