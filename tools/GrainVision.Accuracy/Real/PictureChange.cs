using GrainVision.Grading.Quantities;
using OpenCvSharp;

namespace GrainVision.Accuracy.Real;

/// <summary>A changed picture with the outline and pitch that belong to it.</summary>
/// <param name="File">As PNG.</param>
/// <param name="Outline">Corners, px.</param>
/// <param name="Pitch">px/mm.</param>
/// <param name="Map">Where a point of the old picture lies in the new one, px.</param>
internal sealed record ChangedPicture(byte[] File, IReadOnlyList<PointPx> Outline, double Pitch, Func<PointPx, PointPx> Map);

/// <summary>A change of a picture of which geometry says exactly what it does to each quantity.</summary>
internal sealed record PictureChange(string Name)
{
    /// <summary>Degrees; positive turns x towards y, so that a slope grows by it where the outline stays.</summary>
    public double TurnDeg { get; init; }

    /// <summary>The outline turns with the wood, as when the camera was turned: nothing changes.</summary>
    public bool OutlineTurns { get; init; }

    public bool Mirror { get; init; }

    public double Scale { get; init; } = 1;

    public double Light { get; init; } = 1;

    public double BlurPx { get; init; }

    /// <summary>Cuts the picture to its outline and 8 px round it: nothing changes.</summary>
    public bool Cut { get; init; }

    /// <summary>mm by which each side of the outline moves in: as much as an outline that is found is off by (RESULTS.md: nine of ten within 0.75 mm).</summary>
    public double InsetMm { get; init; }

    public static IReadOnlyList<PictureChange> All { get; } =
    [
        new("turned by 2°") { TurnDeg = 2 },
        new("turned by -2°") { TurnDeg = -2 },
        new("turned by 4°") { TurnDeg = 4 },
        new("turned by -4°") { TurnDeg = -4 },
        new("turned by 3° with its outline") { TurnDeg = 3, OutlineTurns = true },
        new("mirrored") { Mirror = true },
        new("cropped to the outline") { Cut = true },
        new("outline moved in by 0.5 mm") { InsetMm = 0.5 },
        new("scaled by 0.8, pitch told") { Scale = 0.8 },
        new("dimmed to 0.7") { Light = 0.7 },
        new("blurred by 0.8 px") { BlurPx = 0.8 },
    ];

    /// <summary>Most that any change turns, degrees: an outline must leave room for it.</summary>
    public const double MostTurnDeg = 4;

    /// <summary>Signed slope, degrees, that the old one becomes.</summary>
    public double Slope(double deg) => (Mirror ? -deg : deg) + (OutlineTurns ? 0 : TurnDeg);

    /// <summary>The slope of the old picture, degrees, that becomes this one.</summary>
    public Measured Back(Measured deg)
    {
        var turn = OutlineTurns ? 0 : TurnDeg;
        return new Measured(deg.Value - turn, deg.Low - turn, deg.High - turn).Scale(Mirror ? -1 : 1);
    }

    /// <summary>How far a ring angle moves, degrees, one way or the other.</summary>
    public double RingAngleMoves => OutlineTurns ? 0 : Math.Abs(TurnDeg);

    /// <summary>Changes the picture.</summary>
    /// <param name="picture">The old picture.</param>
    /// <param name="outline">Upright box of the old one.</param>
    /// <param name="pitch">Of the old one, px/mm.</param>
    public ChangedPicture Apply(Mat picture, IReadOnlyList<PointPx> outline, double pitch)
    {
        using var changed = new Mat();
        Func<PointPx, PointPx> map = p => p;
        if (TurnDeg != 0)
        {
            var middle = new Point2f((float)outline.Average(p => p.X), (float)outline.Average(p => p.Y));
            using var turn = Cv2.GetRotationMatrix2D(middle, -TurnDeg, 1);
            Cv2.WarpAffine(picture, changed, turn, picture.Size(), InterpolationFlags.Lanczos4, BorderTypes.Reflect101);
            var m = new double[6];
            for (var i = 0; i < 6; i++)
                m[i] = turn.At<double>(i / 3, i % 3);
            map = p => new PointPx((m[0] * p.X) + (m[1] * p.Y) + m[2], (m[3] * p.X) + (m[4] * p.Y) + m[5]);
        }
        else if (Mirror)
        {
            Cv2.Flip(picture, changed, FlipMode.Y);
            map = p => new PointPx(picture.Width - 1 - p.X, p.Y);
        }
        else if (Scale != 1)
        {
            Cv2.Resize(picture, changed, new Size((int)Math.Round(picture.Width * Scale), (int)Math.Round(picture.Height * Scale)), 0, 0, InterpolationFlags.Area);
            var (sx, sy) = (changed.Width / (double)picture.Width, changed.Height / (double)picture.Height);
            map = p => new PointPx(((p.X + 0.5) * sx) - 0.5, ((p.Y + 0.5) * sy) - 0.5);
        }
        else if (Light != 1)
            picture.ConvertTo(changed, -1, Light);
        else if (BlurPx > 0)
            Cv2.GaussianBlur(picture, changed, new Size(0, 0), BlurPx);
        else if (Cut)
        {
            const int margin = 8;
            var (x0, y0) = (Math.Max(0, (int)outline[0].X - margin), Math.Max(0, (int)outline[0].Y - margin));
            var (x1, y1) = (Math.Min(picture.Width, (int)outline[2].X + margin), Math.Min(picture.Height, (int)outline[2].Y + margin));
            using var part = new Mat(picture, new Rect(x0, y0, x1 - x0, y1 - y0));
            part.CopyTo(changed);
            map = p => new PointPx(p.X - x0, p.Y - y0);
        }
        else
            picture.CopyTo(changed);

        Cv2.ImEncode(".png", changed, out var file);
        var corners = TurnDeg != 0 && !OutlineTurns ? outline : [.. outline.Select(map)];
        var inset = InsetMm * pitch;
        if (inset > 0)
            corners = RealPicture.Box(outline[0].X + inset, outline[0].Y + inset, outline[2].X - inset, outline[2].Y - inset);
        // Corner 1 stays the one at the top left.
        return new ChangedPicture(file, Mirror ? [corners[1], corners[0], corners[3], corners[2]] : corners, pitch * Scale, map);
    }

    /// <summary>The largest part of a box, about its middle, that stays inside it however the wood turns by up to <see cref="MostTurnDeg"/>.</summary>
    public static IReadOnlyList<PointPx> Room(double x0, double y0, double x1, double y1)
    {
        var (cx, cy, a, b) = ((x0 + x1) / 2, (y0 + y1) / 2, (x1 - x0) / 2, (y1 - y0) / 2);
        var (sin, cos) = Math.SinCos(MostTurnDeg * Math.PI / 180);
        var share = Math.Min(a / ((a * cos) + (b * sin)), b / ((b * cos) + (a * sin)));
        return RealPicture.Box(cx - (share * a), cy - (share * b), cx + (share * a), cy + (share * b));
    }
}
