using System.Text;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>A raster of dots, two by four in a character cell (Unicode block Braille Patterns, U+2800 to U+28FF).</summary>
public sealed class BrailleCanvas(int columns, int rows)
{
    // Dot numbers by place in the cell, Unicode Standard chapter 21.1: dots 1 2 3 7 on the left, 4 5 6 8 on the right; dot n is bit n - 1.
    private static readonly byte[,] Bits = { { 0x01, 0x08 }, { 0x02, 0x10 }, { 0x04, 0x20 }, { 0x40, 0x80 } };

    private readonly byte[,] _cells = new byte[rows, columns];

    public int Columns => columns;

    public int Rows => rows;

    public int DotsAcross => columns * 2;

    public int DotsDown => rows * 4;

    /// <summary>Sets a dot; one outside is left out. (0, 0) is at the top left.</summary>
    public void Dot(int x, int y)
    {
        if (x < 0 || y < 0 || x >= DotsAcross || y >= DotsDown) return;
        _cells[y / 4, x / 2] |= Bits[y % 4, x % 2];
    }

    /// <summary>Dots along a straight line, ends included.</summary>
    public void Line(int x0, int y0, int x1, int y1)
    {
        var steps = Math.Max(Math.Abs(x1 - x0), Math.Abs(y1 - y0));
        if (steps == 0)
        {
            Dot(x0, y0);
            return;
        }
        for (var i = 0; i <= steps; i++)
            Dot((int)Math.Round(x0 + (double)i * (x1 - x0) / steps), (int)Math.Round(y0 + (double)i * (y1 - y0) / steps));
    }

    /// <summary>One row of cells; an empty cell is a space.</summary>
    public string Row(int row)
    {
        var line = new StringBuilder(columns);
        for (var c = 0; c < columns; c++) line.Append(_cells[row, c] == 0 ? ' ' : (char)(0x2800 + _cells[row, c]));
        return line.ToString();
    }
}
