using SkiaSharp;
using SweepRig.Logic.Drawing;

namespace SweepRig.Service.Reports;

/// <summary>Draws a circuit with its own units on a canvas that was scaled for it.</summary>
internal static class SchematicOnCanvas
{
    private const float LineWidth = 1.3f, DotRadius = 2.6f;

    /// <param name="plain">Set to the size of each word.</param>
    /// <param name="bold">The same.</param>
    /// <param name="ink">Fills.</param>
    public static void Draw(Schematic drawing, SKCanvas canvas, SKFont plain, SKFont bold, SKPaint ink)
    {
        using var line = new SKPaint { Color = SKColors.Black, IsStroke = true, StrokeWidth = LineWidth, IsAntialias = true, StrokeCap = SKStrokeCap.Round, StrokeJoin = SKStrokeJoin.Round };
        using var dashes = SKPathEffect.CreateDash([4, 4], 0);
        using var dashed = line.Clone();
        dashed.PathEffect = dashes;
        foreach (var wire in drawing.Wires) canvas.DrawLine((float)wire.From.X, (float)wire.From.Y, (float)wire.To.X, (float)wire.To.Y, line);
        foreach (var dot in drawing.Dots) canvas.DrawCircle((float)dot.X, (float)dot.Y, DotRadius, ink);
        foreach (var shape in drawing.Parts.SelectMany(p => p.Shapes).Concat(drawing.Flags.SelectMany(SchematicFlags.Shapes))) Draw(shape, canvas, line, dashed, ink);
        foreach (var label in drawing.Labels)
        {
            var font = label.IsBold ? bold : plain;
            font.Size = (float)label.Size;
            canvas.DrawText(label.Text, (float)label.At.X, (float)label.At.Y, label.Side switch { TextSide.Start => SKTextAlign.Left, TextSide.Middle => SKTextAlign.Center, _ => SKTextAlign.Right }, font, ink);
        }
    }

    private static void Draw(DrawnShape shape, SKCanvas canvas, SKPaint line, SKPaint dashed, SKPaint ink)
    {
        switch (shape)
        {
            case DrawnPath path:
                using (var outline = new SKPath())
                {
                    outline.AddPoly([.. path.Points.Select(p => new SKPoint((float)p.X, (float)p.Y))], close: path.IsFilled);
                    canvas.DrawPath(outline, path.IsDashed ? dashed : line);
                    if (path.IsFilled) canvas.DrawPath(outline, ink);
                }
                break;
            case DrawnCircle circle:
                canvas.DrawCircle((float)circle.Centre.X, (float)circle.Centre.Y, (float)circle.Radius, line);
                break;
            case DrawnBox box:
                canvas.DrawRoundRect((float)box.X, (float)box.Y, (float)box.Width, (float)box.Height, (float)box.Corner, (float)box.Corner, line);
                break;
        }
    }
}
