using System.Globalization;

namespace SweepRig.Rigs.Link.Messages;

/// <summary>What is wrong with one field of a message.</summary>
/// <param name="Message">Name of the message.</param>
/// <param name="Field">Name of the field.</param>
/// <param name="Found">What it holds.</param>
/// <param name="Allowed">What it may hold.</param>
public sealed record FieldFault(string Message, string Field, string Found, string Allowed)
{
    internal static FieldFault OutOfRange(MessageDeclaration message, FieldDeclaration field, long value) =>
        new(message.Name, field.Name, With(field, value.ToString(CultureInfo.InvariantCulture)), With(field, field.Range));

    public override string ToString() => $"field {Field} of {Message} holds {Found}, allowed is {Allowed}";

    private static string With(FieldDeclaration field, string text) => field.Unit.Length == 0 ? text : $"{text} {field.Unit}";
}
