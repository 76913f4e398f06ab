using GrainVision.Grading.Quantities;
using OpenCvSharp;

namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>What is taken of the lens before the photo shows it: where its axis falls, how long it is, and how far its distortion counts.</summary>
/// <param name="Axis">Photo px.</param>
/// <param name="FocalPx">Focal length.</param>
/// <param name="RadiusPx">Half the diagonal of the whole photo: the radial distortion k1 is a share there.</param>
/// <param name="IsKnown">True where the file shows that the photo is whole.</param>
internal sealed record RuleOptics(PointPx Axis, double FocalPx, double RadiusPx, bool IsKnown)
{
    /// <summary>
    /// 0.8 of the long side: main cameras of phones, 24 to 28 mm on a 36 mm frame. It decides how much a tilted plane is
    /// foreshortened, 1 - cos(tilt).
    /// </summary>
    private const double FocalShare = 0.8;

    /// <summary>5 %: the focal length in EXIF is rounded to a millimetre of some 26, and focusing lengthens it.</summary>
    private const double FocalDoubt = 0.05;

    /// <summary>1.3: a photo that may be cropped was so many times as wide, within a factor of 1.5 (many are whole); our judgement, no source.</summary>
    private const double CropGuess = 1.3;
    private const double CropDoubt = 1.5;

    /// <summary>
    /// 0.28 of a side: how far the axis lies from the middle of a photo that may be cropped (standard uncertainty; our judgement, no source: a crop to a third
    /// of the sides may put it 1 side away).
    /// </summary>
    private const double AxisDoubt = 0.28;

    /// <param name="photo">Size of the photo.</param>
    /// <param name="wholeFocalPx">Focal length that the file of a whole photo says; null where the photo may be cropped.</param>
    public static RuleOptics Of(Size photo, double? wholeFocalPx)
    {
        var middle = new PointPx((photo.Width - 1) / 2.0, (photo.Height - 1) / 2.0);
        var radius = Math.Sqrt((middle.X * middle.X) + (middle.Y * middle.Y));
        var longSide = Math.Max(photo.Width, photo.Height);
        return wholeFocalPx is { } focal
            ? new RuleOptics(middle, focal, radius, true)
            : new RuleOptics(middle, FocalShare * longSide * CropGuess, radius * CropGuess, false);
    }

    /// <summary>Other lenses, one standard uncertainty away each in another respect; their effects add as squares, those of a pair as the greater.</summary>
    public IReadOnlyList<IReadOnlyList<RuleOptics>> Doubts(Size photo)
    {
        if (IsKnown)
            return [[this with { FocalPx = FocalPx * (1 + FocalDoubt) }, this with { FocalPx = FocalPx / (1 + FocalDoubt) }]];
        var (dx, dy) = (AxisDoubt * photo.Width, AxisDoubt * photo.Height);
        return
        [
            [this with { Axis = new(Axis.X + dx, Axis.Y) }, this with { Axis = new(Axis.X - dx, Axis.Y) }],
            [this with { Axis = new(Axis.X, Axis.Y + dy) }, this with { Axis = new(Axis.X, Axis.Y - dy) }],
            [
                this with { FocalPx = FocalPx * CropDoubt, RadiusPx = RadiusPx * CropDoubt },
                this with { FocalPx = FocalPx / CropDoubt, RadiusPx = RadiusPx / CropDoubt },
            ],
        ];
    }
}
