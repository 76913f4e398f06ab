using SkiaSharp;

namespace GrainVision.Synthesis;

/// <summary>Letters as strokes on a 4 x 6 grid, as an engraver or a stamp cutter makes them. Drawn for this project.</summary>
internal static class StrokeFont
{
    // Strokes are parted by '|', points by blanks, each point is the digits x and y (y down).
    private static readonly Dictionary<char, string> Glyphs = new()
    {
        ['0'] = "10 30 41 45 36 16 05 01 10",
        ['1'] = "11 20 26|16 36",
        ['2'] = "01 10 30 41 42 06 46",
        ['3'] = "01 10 30 41 42 33 23|33 44 45 36 16 05",
        ['4'] = "36 30 04 44",
        ['5'] = "40 00 02 32 43 45 36 16 05",
        ['6'] = "31 20 10 01 05 16 36 45 44 33 13 04",
        ['7'] = "00 40 16",
        ['8'] = "13 02 01 10 30 41 42 33 13 04 05 16 36 45 44 33",
        ['9'] = "15 26 36 45 41 30 10 01 02 13 33 42",
        ['A'] = "06 20 46|14 34",
        ['B'] = "00 30 41 42 33 03|33 44 45 36 06 00",
        ['C'] = "41 30 10 01 05 16 36 45",
        ['D'] = "00 30 41 45 36 06 00",
        ['E'] = "40 00 06 46|03 33",
        ['F'] = "40 00 06|03 33",
        ['G'] = "41 30 10 01 05 16 36 45 43 23",
        ['H'] = "00 06|40 46|03 43",
        ['I'] = "20 26",
        ['K'] = "00 06|40 03 46",
        ['L'] = "00 06 46",
        ['M'] = "06 00 23 40 46",
        ['N'] = "06 00 46 40",
        ['O'] = "10 30 41 45 36 16 05 01 10",
        ['P'] = "06 00 30 41 42 33 03",
        ['R'] = "06 00 30 41 42 33 03|23 46",
        ['S'] = "41 30 10 01 02 13 33 44 45 36 16 05",
        ['T'] = "00 40|20 26",
        ['U'] = "00 05 16 36 45 40",
        ['V'] = "00 26 40",
        ['W'] = "00 16 23 36 40",
        ['X'] = "00 46|40 06",
        ['Y'] = "00 23 40|23 26",
        ['Z'] = "00 40 06 46",
        ['-'] = "13 33",
        ['/'] = "06 40",
        ['.'] = "25 26",
        ['m'] = "06 03|04 13 24 26|24 33 44 46",
        ['i'] = "23 26|21 21",
        ['n'] = "06 03|04 13 33 44 46",
    };

    /// <summary>Draws a line of text; <paramref name="x"/>, <paramref name="y"/> is its left top corner.</summary>
    public static void Draw(SKCanvas canvas, string text, float x, float y, float height, SKPaint paint)
    {
        var unit = height / 6;
        foreach (var c in text)
        {
            if (Glyphs.TryGetValue(c, out var strokes))
            {
                using var path = new SKPathBuilder();
                foreach (var stroke in strokes.Split('|'))
                {
                    var points = stroke.Split(' ');
                    for (var i = 0; i < points.Length; i++)
                    {
                        var px = x + ((points[i][0] - '0') * unit);
                        var py = y + ((points[i][1] - '0') * unit);
                        if (i == 0)
                            path.MoveTo(px, py);
                        else
                            path.LineTo(px, py);
                    }
                }

                using var built = path.Detach();
                canvas.DrawPath(built, paint);
            }

            x += unit * 5.6f;
        }
    }

    public static float WidthOf(string text, float height) => ((text.Length * 5.6f) - 1.6f) * height / 6;
}
