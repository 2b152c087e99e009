using System.Globalization;
using System.Text;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;
using Microsoft.CodeAnalysis.Text;

namespace SweepRig.Benchmarks.Mutations;

/// <summary>
/// A source file that holds many changes at once, of which one is in force: each member that is changed stands there once as it is and once with each change, and the number in
/// <c>Mutant.Id</c> chooses. One compilation then does for all of them; see Untch, Offutt and Harrold, "Mutation analysis using mutant schemata", ISSTA 1993, 139 (from memory).
/// </summary>
internal sealed class MutantSchema
{
    public const string Switch = "namespace SweepRig.Mutations { public static class Mutant { public static int Id; } }";

    private const string Id = "global::SweepRig.Mutations.Mutant.Id";

    private readonly StringBuilder _text = new();
    private readonly List<(TextSpan At, SourceMutant Mutant)> _places = [];
    private readonly Dictionary<SourceMutant, int> _ids = [];
    private readonly HashSet<SourceMutant> _inMethods = [];

    private MutantSchema()
    {
    }

    /// <summary>The file, with every change that it can hold.</summary>
    public string Text => _text.ToString();

    /// <summary>Numbers of its changes, from 1 on. Others need a compilation of their own.</summary>
    public IReadOnlyDictionary<SourceMutant, int> Ids => _ids;

    /// <summary>True for a change of what is worked out at each call, not once for a class or a record.</summary>
    public bool IsInMethod(SourceMutant mutant) => _inMethods.Contains(mutant);

    public static MutantSchema Of(string source, IEnumerable<SourceMutant> mutants)
    {
        var schema = new MutantSchema();
        var members = CSharpSyntaxTree.ParseText(source).GetRoot().DescendantNodes().OfType<MemberDeclarationSyntax>().Where(CanHold).ToList();
        var at = 0;
        foreach (var member in members)
        {
            var within = mutants.Where(m => Place(member).Contains(m.Span)).ToList();
            if (within.Count == 0) continue;
            schema.Put(source[at..member.SpanStart]);
            schema.Put(source, member, within);
            at = member.Span.End;
        }
        schema.Put(source[at..]);
        return schema;
    }

    /// <summary>The change in whose copy something stands; null if it stands in what is as it was.</summary>
    public SourceMutant? At(TextSpan span) => _places.Find(p => p.At.Contains(span.Start)).Mutant;

    private static bool CanHold(MemberDeclarationSyntax member) => member switch
    {
        MethodDeclarationSyntax method => method.Body is not null || method.ExpressionBody is not null,
        PropertyDeclarationSyntax property => property.ExpressionBody is not null || property.Initializer is not null,
        FieldDeclarationSyntax field => field.Declaration.Variables is [{ Initializer: not null }] && !field.Modifiers.Any(SyntaxKind.ConstKeyword),
        _ => false,
    };

    /// <summary>Where in it a change may be.</summary>
    private static TextSpan Place(MemberDeclarationSyntax member) => member switch
    {
        MethodDeclarationSyntax method => method.Body?.Span ?? method.ExpressionBody!.Span,
        PropertyDeclarationSyntax property => Value(property).Span,
        _ => ((FieldDeclarationSyntax)member).Declaration.Variables[0].Initializer!.Value.Span,
    };

    private static ExpressionSyntax Value(PropertyDeclarationSyntax property) => property.ExpressionBody?.Expression ?? property.Initializer!.Value;

    private void Put(string source, MemberDeclarationSyntax member, List<SourceMutant> within)
    {
        if (member is MethodDeclarationSyntax or PropertyDeclarationSyntax { Initializer: null }) _inMethods.UnionWith(within);
        if (member is MethodDeclarationSyntax method)
        {
            PutMethod(source, method, within);
            return;
        }
        var (type, value) = member is PropertyDeclarationSyntax property
            ? (property.Type, Value(property))
            : (((FieldDeclarationSyntax)member).Declaration.Type, ((FieldDeclarationSyntax)member).Declaration.Variables[0].Initializer!.Value);
        Put(source[member.SpanStart..value.SpanStart]);
        Put($"{Id} switch {{ ");
        foreach (var mutant in within)
        {
            Put($"{Next(mutant)} => ({type})(");
            PutChanged(source, value.Span, mutant);
            Put("), ");
        }
        Put($"_ => ({type})({source[value.SpanStart..value.Span.End]}) }}");
        Put(source[value.Span.End..member.Span.End]);
    }

    private void PutMethod(string source, MethodDeclarationSyntax method, List<SourceMutant> within)
    {
        var head = source[method.SpanStart..method.Identifier.SpanStart];
        var list = source[method.Identifier.Span.End..Place(method).Start];
        var isVoid = method.ReturnType.ToString() == "void";
        var copies = $"private {(method.Modifiers.Any(SyntaxKind.StaticKeyword) ? "static " : "")}{(method.Modifiers.Any(SyntaxKind.AsyncKeyword) ? "async " : "")}{method.ReturnType} ";
        var given = string.Join(", ", method.ParameterList.Parameters.Select(p =>
            string.Join(' ', p.Modifiers.Where(m => m.Kind() is SyntaxKind.RefKeyword or SyntaxKind.OutKeyword or SyntaxKind.InKeyword).Select(m => m.Text).Append(p.Identifier.Text))));
        var plainList = list.Replace("(this ", "(", StringComparison.Ordinal);
        string Call(string name) => $"{(isVoid ? "" : "return ")}{name}{method.TypeParameterList}({given});{(isVoid ? " return;" : "")} ";
        Put($"{head.Replace("async ", "", StringComparison.Ordinal)}{method.Identifier}{list}{{ switch ({Id}) {{ ");
        foreach (var mutant in within) Put($"case {Next(mutant)}: {Call(Named(method, _ids[mutant]))}");
        Put($"default: {Call(Named(method, 0))}}} }}\n");
        Put($"{copies}{Named(method, 0)}{plainList}{source[Place(method).Start..method.Span.End]}\n");
        foreach (var mutant in within)
        {
            Put($"{copies}{Named(method, _ids[mutant])}{plainList}");
            PutChanged(source, TextSpan.FromBounds(Place(method).Start, method.Span.End), mutant);
            Put("\n");
        }
    }

    private static string Named(MethodDeclarationSyntax method, int id) => $"{method.Identifier}__{id.ToString(CultureInfo.InvariantCulture)}";

    private void PutChanged(string source, TextSpan span, SourceMutant mutant)
    {
        var from = _text.Length;
        Put(source[span.Start..mutant.Span.Start]);
        Put(mutant.Put);
        Put(source[mutant.Span.End..span.End]);
        _places.Add((TextSpan.FromBounds(from, _text.Length), mutant));
    }

    private int Next(SourceMutant mutant) => _ids[mutant] = _ids.Count + 1;

    private void Put(string text) => _text.Append(text);
}
