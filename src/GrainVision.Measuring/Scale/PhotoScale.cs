using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Geometry;
using OpenCvSharp;

namespace GrainVision.Measuring.Scale;

/// <summary>
/// The scale of a photo as later stages use it: either one pitch for the whole picture or, where perspective is known, a
/// homography from upright-photo pixels to millimetres in the plane of the surface.
/// </summary>
/// <param name="Finding">What is reported: kind, pixels per mm with interval, marks.</param>
/// <param name="MmFromPx">Row-major 3x3 homography, px to mm in the surface's plane (orientation kept: no mirror); null where only one pitch is known.</param>
/// <param name="ExclusionMask">Polygons (px) covered by the card or the rule: not wood, left out when the piece is looked for.</param>
public sealed record PhotoScale(
    ScaleFinding Finding,
    IReadOnlyList<double>? MmFromPx,
    IReadOnlyList<IReadOnlyList<PointPx>> ExclusionMask)
{
    /// <summary>5 %: a scale worse than this at the place of the piece helps nobody.</summary>
    internal const double GreatestRelative = 0.05;

    /// <summary>A scale without perspective and without anything lying in the picture.</summary>
    public static PhotoScale Uniform(ScaleFinding finding) => new(finding, null, []);

    /// <summary>What the sender should know of this scale, such as "the print was not checked". Empty where there is nothing to say.</summary>
    public IReadOnlyList<Warning> Warnings { get; init; } = [];

    /// <summary>Relative standard uncertainty of the scale at a place in the photo (px); null where it is the same everywhere.</summary>
    internal Func<PointPx, double>? RelativeAt { get; init; }

    /// <summary>Where an ideal lens would show what the photo shows at a place; null where <see cref="MmFromPx"/> takes the photo as it is.</summary>
    internal Func<PointPx, PointPx>? LensFree { get; init; }

    /// <summary>
    /// Root mean square of what the lens's radial distortion may be, as a share at the picture's corner: what rule or card show of it and what they leave open.
    /// Null where nothing in the picture shows it.
    /// </summary>
    internal double? LensK1 { get; init; }

    /// <summary>True where a piece card gave the scale, whether or not its code could be read.</summary>
    public bool IsPieceCard { get; init; }

    /// <summary>
    /// Pixels per mm at a place in the picture: through <see cref="MmFromPx"/>, root of the area ratio, or the one pitch.
    /// Its relative uncertainty is that of <see cref="ScaleFinding.PixelsPerMm"/> near the place that was reported, and grows away from it.
    /// </summary>
    public double PixelsPerMmAt(PointPx p) =>
        MmFromPx is { } h ? 1 / new Homography(h.ToArray()).MagnificationAt(p) : Finding.PixelsPerMm.Value;

    /// <summary>The scale as it is at a place, with its uncertainty there, or the refusal that the place is too far from what gave the scale.</summary>
    /// <param name="place">px.</param>
    /// <param name="pixelsPerMm">Pixels per mm there.</param>
    internal Outcome<PhotoScale> At(PointPx place, double pixelsPerMm)
    {
        if (RelativeAt is not { } relative)
            return this;
        var there = MmFromPx is null ? Finding.PixelsPerMm : Measured.FromStandardUncertainty(pixelsPerMm, pixelsPerMm * relative(place));
        return there.StandardUncertainty <= GreatestRelative * there.Value
            ? this with { Finding = Finding with { PixelsPerMm = there } }
            : ScaleRefusals.TooFarFromThePiece();
    }

    /// <summary>The same scale with a homography that holds at a place of the photo (px), lens included; away from it the lens's bend is left out.</summary>
    internal PhotoScale Near(PointPx p)
    {
        if (LensFree is not { } free || MmFromPx is not { } h)
            return this;
        const double step = 8;
        var (at, x, y) = (free(p), (free(p + new PointPx(step, 0)) - free(p - new PointPx(step, 0))) * (0.5 / step), (free(p + new PointPx(0, step)) - free(p - new PointPx(0, step))) * (0.5 / step));
        var local = new Homography([x.X, y.X, at.X - (x.X * p.X) - (y.X * p.Y), x.Y, y.Y, at.Y - (x.Y * p.X) - (y.Y * p.Y), 0, 0, 1]);
        return this with { MmFromPx = new Homography(h.ToArray()).After(local).RowMajor, LensFree = null };
    }

    /// <summary>Maps a pixel to mm through <see cref="MmFromPx"/>, or through the one pitch.</summary>
    public Point2d ToMm(PointPx p)
    {
        if (MmFromPx is not { } h)
            return new Point2d(p.X / Finding.PixelsPerMm.Value, p.Y / Finding.PixelsPerMm.Value);
        var w = (h[6] * p.X) + (h[7] * p.Y) + h[8];
        return new Point2d(((h[0] * p.X) + (h[1] * p.Y) + h[2]) / w, ((h[3] * p.X) + (h[4] * p.Y) + h[5]) / w);
    }
}
