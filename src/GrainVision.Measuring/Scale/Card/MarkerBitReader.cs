using GrainVision.Grading.Cards;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Geometry;
using OpenCvSharp;

namespace GrainVision.Measuring.Scale.Card;

/// <summary>Reads the 16 bits of a marker whose place on the card, and the card's place in the photo, are known.</summary>
internal sealed class MarkerBitReader
{
    /// <summary>20 grey levels between paper and ink round the marker; less is glare, shadow or a finger.</summary>
    private const double LeastContrast = 20;

    /// <summary>A cell within this of half-way between ink and paper is not read: blur or dirt.</summary>
    private const double Doubt = 0.12;

    /// <summary>6: words differ in 8 bits, so twice the wrong bits and the unread ones together may be up to 7; one is left in hand.</summary>
    private const int GreatestDamage = 6;

    private const double CellMm = CardDesign.MarkerMm / CardDesign.MarkerCells;

    private readonly double[] _black = new double[16];
    private readonly double _border;

    private MarkerBitReader(Mat gray, Homography map, int place, double ink, double paper)
    {
        var at = CardDesign.MarkerAtMm(place);
        double Share(int x, int y) => (paper - Mean(gray, map, new PointPx(at.X + ((x + 0.5) * CellMm), at.Y + ((y + 0.5) * CellMm)))) / (paper - ink);
        for (var i = 0; i < 16; i++)
            _black[i] = Share((i % 4) + 1, (i / 4) + 1);
        var rim = 0.0;
        for (var i = 0; i < 5; i++)
            rim += Share(i, 0) + Share(5, i) + Share(5 - i, 5) + Share(0, 5 - i);
        _border = rim / 20;
    }

    /// <summary>The cells of the marker at a place of the board; null where paper and ink do not part there or it lies outside the picture.</summary>
    public static MarkerBitReader? At(Mat gray, Homography map, int place)
    {
        var corners = CardDesign.MarkerCornersMm(place);
        const double out1 = 2 * CellMm;
        if (corners.Any(c => map.Depth(c) <= 0 || !Inside(gray, map.Map(c), 4)))
            return null;

        // Paper: the white rim round the marker. Ink: just beyond it, inside the black squares that touch its sides (at least two lie on the board).
        var (a, b) = (corners[0], corners[2]);
        var middle = new PointPx((a.X + b.X) / 2, (a.Y + b.Y) / 2);
        const double rim = (CardDesign.SquareMm - CardDesign.MarkerMm) / 4;
        PointPx[] paperAt = [new(middle.X, a.Y - rim), new(middle.X, b.Y + rim), new(a.X - rim, middle.Y), new(b.X + rim, middle.Y)];
        const double far = CardDesign.SquareMm / 2 + out1;
        PointPx[] inkAt = [new(middle.X, middle.Y - far), new(middle.X, middle.Y + far), new(middle.X - far, middle.Y), new(middle.X + far, middle.Y)];
        var paper = paperAt.Average(p => Mean(gray, map, p));
        var ink = inkAt.Where(OnBoard).Average(p => Mean(gray, map, p));
        return paper - ink < LeastContrast ? null : new MarkerBitReader(gray, map, place, ink, paper);
    }

    /// <summary>
    /// How far the cells are from <paramref name="bits"/>: 2 for each wrong cell, 1 for each doubtful one; null where that is too much or the
    /// marker's border is not black.
    /// </summary>
    public int? Damage(int bits)
    {
        if (_border < 0.6)
            return null;
        var damage = 0;
        for (var i = 0; i < 16; i++)
        {
            var wanted = ((bits >> i) & 1) != 0 ? _black[i] : 1 - _black[i];
            damage += wanted >= 0.5 + Doubt ? 0 : wanted > 0.5 - Doubt ? 1 : 2;
        }

        return damage <= GreatestDamage ? damage : null;
    }

    private static bool OnBoard(PointPx p) =>
        p.X > CardDesign.QuietMm && p.X < CardDesign.WidthMm - CardDesign.QuietMm && p.Y > CardDesign.QuietMm && p.Y < CardDesign.HeightMm - CardDesign.QuietMm;

    private static bool Inside(Mat gray, PointPx p, double margin) =>
        p.X >= margin && p.Y >= margin && p.X < gray.Width - 1 - margin && p.Y < gray.Height - 1 - margin;

    /// <summary>Mean grey of nine points in the middle half of a cell.</summary>
    private static double Mean(Mat gray, Homography map, PointPx middle)
    {
        var sum = 0.0;
        for (var i = 0; i < 9; i++)
            sum += Grey(gray, map.Map(new PointPx(middle.X + ((i % 3) - 1) * 0.25 * CellMm, middle.Y + ((i / 3) - 1) * 0.25 * CellMm)));
        return sum / 9;
    }

    private static double Grey(Mat gray, PointPx p)
    {
        var x = Math.Clamp((int)Math.Floor(p.X), 0, gray.Width - 2);
        var y = Math.Clamp((int)Math.Floor(p.Y), 0, gray.Height - 2);
        double fx = Math.Clamp(p.X - x, 0, 1), fy = Math.Clamp(p.Y - y, 0, 1);
        double top = gray.At<byte>(y, x) + (fx * (gray.At<byte>(y, x + 1) - gray.At<byte>(y, x)));
        double bottom = gray.At<byte>(y + 1, x) + (fx * (gray.At<byte>(y + 1, x + 1) - gray.At<byte>(y + 1, x)));
        return top + (fy * (bottom - top));
    }
}
