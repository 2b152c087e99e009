using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;

namespace SweepRig.Benchmarks.Mutations;

/// <summary>
/// Makes the usual small changes (comparison, logic, arithmetic, constants, a condition, statement, element, member or part of a pattern left out), as common practice of
/// mutation testing has them; see Jia and Harman, "An analysis and survey of the development of mutation testing", IEEE Trans. Softw. Eng. 37 (2011) 649, section 3.
/// Texts for people are left alone.
/// </summary>
internal sealed class MutantMaker(string file) : CSharpSyntaxWalker
{
    private static readonly Dictionary<string, string> Opposites = new()
    {
        ["Math.Min"] = "Math.Max", ["Math.Max"] = "Math.Min", ["double.MinNumber"] = "double.MaxNumber", ["double.MaxNumber"] = "double.MinNumber",
    };

    private readonly List<SourceMutant> _made = [];

    public static IReadOnlyList<SourceMutant> Of(string file, string source)
    {
        var maker = new MutantMaker(file);
        maker.Visit(CSharpSyntaxTree.ParseText(source).GetRoot());
        return [.. maker._made.DistinctBy(m => (m.Span, m.Now))];
    }

    public override void VisitBinaryExpression(BinaryExpressionSyntax node)
    {
        foreach (var other in Others(node.Kind())) Make(node.OperatorToken.Span, node, $"{node.Left} {other} {node.Right}", node.ToString(), other);
        base.VisitBinaryExpression(node);
    }

    public override void VisitPrefixUnaryExpression(PrefixUnaryExpressionSyntax node)
    {
        if (node.IsKind(SyntaxKind.LogicalNotExpression)) Make(node, node.Operand.ToString());
        base.VisitPrefixUnaryExpression(node);
    }

    public override void VisitLiteralExpression(LiteralExpressionSyntax node)
    {
        if (node.IsKind(SyntaxKind.TrueLiteralExpression)) MakeInPlace(node, "false");
        else if (node.IsKind(SyntaxKind.FalseLiteralExpression)) MakeInPlace(node, "true");
        else if (node.IsKind(SyntaxKind.NumericLiteralExpression)) MakeInPlace(node, node.Token.Text == "0" ? "1" : "0");
    }

    public override void VisitConditionalExpression(ConditionalExpressionSyntax node)
    {
        Make(node.Condition, $"!({node.Condition})");
        base.VisitConditionalExpression(node);
    }

    public override void VisitIfStatement(IfStatementSyntax node)
    {
        Make(node.Condition, $"!({node.Condition})");
        if (node.Else is null) Make(node, ";");
        base.VisitIfStatement(node);
    }

    public override void VisitExpressionStatement(ExpressionStatementSyntax node)
    {
        Make(node, ";");
        base.VisitExpressionStatement(node);
    }

    public override void VisitInitializerExpression(InitializerExpressionSyntax node)
    {
        if (node.IsKind(SyntaxKind.WithInitializerExpression)) Without(node.Expressions);
        base.VisitInitializerExpression(node);
    }

    public override void VisitCollectionExpression(CollectionExpressionSyntax node)
    {
        // The list of invariants itself: leaving one out is what its own test is for.
        Without(node.Elements);
        base.VisitCollectionExpression(node);
    }

    public override void VisitPropertyPatternClause(PropertyPatternClauseSyntax node)
    {
        Without(node.Subpatterns);
        base.VisitPropertyPatternClause(node);
    }

    public override void VisitBinaryPattern(BinaryPatternSyntax node)
    {
        Make(node, node.Left.ToString());
        Make(node, node.Right.ToString());
        base.VisitBinaryPattern(node);
    }

    public override void VisitInvocationExpression(InvocationExpressionSyntax node)
    {
        if (Opposites.TryGetValue(node.Expression.ToString(), out var opposite)) Make(node, opposite + node.ArgumentList);
        base.VisitInvocationExpression(node);
    }

    public override void VisitInterpolatedStringExpression(InterpolatedStringExpressionSyntax node)
    {
        // For people.
    }

    public override void VisitThrowExpression(ThrowExpressionSyntax node)
    {
        // A fault of this program, which tests do not provoke.
    }

    public override void VisitAttributeList(AttributeListSyntax node)
    {
        // Not run.
    }

    private void Without<TNode>(SeparatedSyntaxList<TNode> parts)
        where TNode : SyntaxNode
    {
        for (var i = 0; i < parts.Count; i++)
        {
            // With its comma.
            var span = parts.Count == 1 ? parts[i].Span
                : i + 1 < parts.Count ? Text.From(parts[i].SpanStart, parts[i + 1].SpanStart) : Text.From(parts[i - 1].Span.End, parts[i].Span.End);
            Make(span, parts[i], "", parts[i].ToString(), "");
        }
    }

    private void Make(SyntaxNode node, string now) => Make(node.Span, node, now, node.ToString(), now);

    /// <summary>Told with what stands around it, as a number alone says little.</summary>
    private void MakeInPlace(LiteralExpressionSyntax node, string now)
    {
        SyntaxNode around = node.Parent switch
        {
            EqualsValueClauseSyntax { Parent: { } declared } => declared,
            ArgumentSyntax { Parent.Parent: { } call } => call,
            { } parent => parent,
            null => node,
        };
        var (text, at) = (around.ToString(), node.SpanStart - around.SpanStart);
        Make(node.Span, node, text[..at] + now + text[(at + node.Span.Length)..], text, now);
    }

    private void Make(Microsoft.CodeAnalysis.Text.TextSpan span, SyntaxNode node, string told, string was, string now)
    {
        var member = node.AncestorsAndSelf().Select(a => a switch
        {
            MethodDeclarationSyntax m => m.Identifier.Text,
            PropertyDeclarationSyntax p => p.Identifier.Text,
            RecordDeclarationSyntax r => r.Identifier.Text,
            ClassDeclarationSyntax c => c.Identifier.Text,
            _ => null,
        }).FirstOrDefault(n => n is not null) ?? "?";
        _made.Add(new(file, member, node.GetLocation().GetLineSpan().StartLinePosition.Line + 1, span, Folded(was), Folded(told)) { Put = now });
    }

    private static string Folded(string text) => string.Join(' ', text.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));

    private static string[] Others(SyntaxKind kind) => kind switch
    {
        SyntaxKind.LogicalAndExpression => ["||"],
        SyntaxKind.LogicalOrExpression => ["&&"],
        SyntaxKind.LessThanExpression => ["<=", ">="],
        SyntaxKind.LessThanOrEqualExpression => ["<", ">"],
        SyntaxKind.GreaterThanExpression => [">=", "<="],
        SyntaxKind.GreaterThanOrEqualExpression => [">", "<"],
        SyntaxKind.EqualsExpression => ["!="],
        SyntaxKind.NotEqualsExpression => ["=="],
        SyntaxKind.AddExpression => ["-"],
        SyntaxKind.SubtractExpression => ["+"],
        SyntaxKind.MultiplyExpression => ["/"],
        SyntaxKind.DivideExpression => ["*"],
        _ => [],
    };

    private static class Text
    {
        public static Microsoft.CodeAnalysis.Text.TextSpan From(int start, int end) => Microsoft.CodeAnalysis.Text.TextSpan.FromBounds(start, end);
    }
}
