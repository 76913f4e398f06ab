using GrainVision.Grading.Cards;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Geometry;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using GrainVision.Measuring.Scale.Card;
using GrainVision.Presentation.Cards;
using OpenCvSharp;
using OpenCvSharp.Aruco;

namespace GrainVision.Measuring.Tests.Scale;

/// <summary>The printed card in drawn photos of known geometry.</summary>
public sealed class CardTests
{
    private static readonly PointPx CardMiddle = new(CardDesign.WidthMm / 2, CardDesign.HeightMm / 2);

    // turn, tilt about x, tilt about y, px/mm at the card, blur px
    public static TheoryData<double, double, double, double, double> Poses() => new()
    {
        { 0, 0, 0, 6, 0.6 },
        { 180, 0, 0, 6, 0.6 },
        { 37, 0, 0, 5, 0.6 },
        { -75, 10, 5, 5, 0.6 },
        { 10, 30, 0, 5, 0.6 },
        { 90, 0, 30, 5, 0.6 },
        { 200, -21, 21, 5, 0.6 },
        { 5, 3, -4, 250 / CardDesign.WidthMm, 0.6 },
        { 123, 8, -4, 250 / CardDesign.WidthMm, 0.8 },
        { 15, 5, 5, 5, 1.5 },
        { 15, 5, 5, 10, 3 },
    };

    [Theory]
    [MemberData(nameof(Poses))]
    public void CardFinder_KnownPose_ScaleAtPictureMiddleWithinInterval(double turn, double tiltX, double tiltY, double pitch, double blur)
    {
        var map = CameraView.Map(CardMiddle, new PointPx(520, 420), pitch, turn, tiltX, tiltY, 1200);
        using var drawn = DrawnPhoto.OnWood(1200, 900, 3);
        drawn.Paint(map, c => CardDrawing.Draw(c, null));
        using var photo = drawn.Take(blur);

        var outcome = ScaleStage.Find(photo, new CardScale(), CancellationToken.None);

        Assert.True(outcome.TryGet(out var scale, out var refusal), refusal?.Code);
        var middle = new PointPx((photo.Width - 1) / 2.0, (photo.Height - 1) / 2.0);
        var truth = 1 / map.Inverse().MagnificationAt(middle);
        Assert.Equal(ScaleKind.Card, scale.Finding.Kind);
        Assert.InRange(truth, scale.Finding.PixelsPerMm.Low, scale.Finding.PixelsPerMm.High);

        // 0.2 %: print and plane are perfect here, so that only the corners count.
        Assert.InRange(scale.Finding.PixelsPerMm.Value / truth, 0.998, 1.002);
        Assert.True(new Homography(scale.MmFromPx!.ToArray()).Determinant > 0);
    }

    [Fact]
    public void CardFinder_CardDrawing_MmCoordinatesAndKeepoutMatchTruth()
    {
        var map = CameraView.Map(CardMiddle, new PointPx(300, 300), 5, 25, 12, -9, 1200);
        using var drawn = DrawnPhoto.OnWood(1200, 900, 5);
        drawn.Paint(map, c => CardDrawing.Draw(c, null));
        using var photo = drawn.Take();

        Assert.True(ScaleStage.Find(photo, null, CancellationToken.None).TryGet(out var scale, out _));

        foreach (var mm in new PointPx[] { new(10, 10), new(80, 40), new(150, 30), new(45, 90) })
        {
            var seen = scale.ToMm(map.Map(mm));
            Assert.InRange(Math.Sqrt(Math.Pow(seen.X - mm.X, 2) + Math.Pow(seen.Y - mm.Y, 2)), 0, 0.15);
        }

        var outline = Assert.Single(scale.ExclusionMask);
        for (var i = 0; i < 4; i++)
            Assert.InRange(outline[i].DistanceTo(map.Map(CardDesign.OutlineMm[i])), 0, 0.5);
        Assert.Equal(CardDesign.CornerCount, scale.Finding.Marks!.Count);
        Assert.NotEmpty(scale.Warnings);
    }

    // covered from mm, corners left, greatest error: fewer corners carry the perspective less far, and the interval must say so.
    [Theory]
    [InlineData(70, 18, 0.002)]
    [InlineData(40, 9, 0.01)]
    [InlineData(32, 6, 0.03)]
    public void CardFinder_PartOfCardCovered_MeasuredWithWiderInterval(double coveredFromMm, int corners, double greatestError)
    {
        var map = CameraView.Map(CardMiddle, new PointPx(600, 450), 6, 12, 8, 3, 1200);
        using var drawn = DrawnPhoto.OnWood(1200, 900, 6);
        drawn.Paint(map, c => CardDrawing.Draw(c, null));
        using var hand = new SkiaSharp.SKPaint { Color = new SkiaSharp.SKColor(200, 160, 140) };
        drawn.Paint(map, c => c.DrawRect((float)coveredFromMm, -10, 90, 80, hand));
        using var photo = drawn.Take();

        Assert.True(ScaleStage.Find(photo, new CardScale(), CancellationToken.None).TryGet(out var scale, out var refusal), refusal?.Code);
        Assert.Equal(corners, scale.Finding.Marks!.Count);
        var truth = 1 / map.Inverse().MagnificationAt(new PointPx(599.5, 449.5));
        Assert.InRange(scale.Finding.PixelsPerMm.Value / truth, 1 - greatestError, 1 + greatestError);
        Assert.InRange(truth, scale.Finding.PixelsPerMm.Low, scale.Finding.PixelsPerMm.High);
    }

    [Fact]
    public void CardFinder_AllButOneColumnCovered_Refused()
    {
        var map = CameraView.Map(CardMiddle, new PointPx(600, 450), 6, 12, 8, 3, 1200);
        using var drawn = DrawnPhoto.OnWood(1200, 900, 6);
        drawn.Paint(map, c => CardDrawing.Draw(c, null));
        using var hand = new SkiaSharp.SKPaint { Color = new SkiaSharp.SKColor(200, 160, 140) };
        drawn.Paint(map, c => c.DrawRect(23, -10, 90, 80, hand));
        using var photo = drawn.Take();

        Assert.False(ScaleStage.Find(photo, new CardScale(), CancellationToken.None).TryGet(out _, out var refusal));
        Assert.Equal("card-too-little-seen", refusal.Code);
        Assert.Equal(RefusalFate.Unprocessable, refusal.Fate);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void CardFinder_MirroredPhoto_Refused(bool auto)
    {
        var map = CameraView.Map(CardMiddle, new PointPx(600, 450), 6, 12, 8, 3, 1200);
        using var drawn = DrawnPhoto.OnWood(1200, 900, 6);
        drawn.Paint(map, c => CardDrawing.Draw(c, null));
        using var right = drawn.Take();
        var flipped = new Mat();
        Cv2.Flip(right.Bgr, flipped, FlipMode.Y);
        using var photo = new UprightPhoto(flipped, "", []);

        Assert.False(ScaleStage.Find(photo, auto ? null : new CardScale(), CancellationToken.None).TryGet(out _, out var refusal));
        Assert.Equal("card-mirrored", refusal.Code);
    }

    [Fact]
    public void CardFinder_BentCard_Refused()
    {
        // Rolled paper: columns crowd towards the right as on a cylinder.
        using var drawn = DrawnPhoto.OnWood(1200, 900, 6);
        drawn.Paint(CameraView.Map(CardMiddle, new PointPx(600, 450), 8, 0, 0, 0, 1200), c => CardDrawing.Draw(c, null));
        using var flat = drawn.Take();
        using var mapX = new Mat(900, 1200, MatType.CV_32FC1);
        using var mapY = new Mat(900, 1200, MatType.CV_32FC1);
        for (var y = 0; y < 900; y++)
        {
            for (var x = 0; x < 1200; x++)
            {
                mapX.Set(y, x, (float)(x + (12 * Math.Sin((x - 240) / 720.0 * 2 * Math.PI))));
                mapY.Set(y, x, (float)y);
            }
        }

        var bent = new Mat();
        Cv2.Remap(flat.Bgr, bent, mapX, mapY, InterpolationFlags.Linear);
        using var photo = new UprightPhoto(bent, "", []);

        Assert.False(ScaleStage.Find(photo, new CardScale(), CancellationToken.None).TryGet(out _, out var refusal));
        Assert.Equal("card-not-flat", refusal.Code);
    }

    /// <summary>The card is first sought as a busy place: dim, blurred, small or filling the picture, it must be found as such.</summary>
    [Theory]
    [InlineData(3, 0.3, 0.7)]
    [InlineData(3, 0.3, 1.0)]
    [InlineData(12, 0.35, 3)]
    [InlineData(16, 0.4, 4)]
    public void CardFinder_DimOrLarge_Found(double pitch, double contrast, double blur)
    {
        var map = CameraView.Map(CardMiddle, new PointPx(800, 600), pitch, 33, 10, -6, 1700);
        using var drawn = DrawnPhoto.OnWood(1600, 1200, 8);
        drawn.Paint(map, c => CardDrawing.Draw(c, null));
        using var bright = drawn.Take(blur, 0);
        var dim = new Mat();
        bright.Bgr.ConvertTo(dim, -1, contrast, 25);
        using var photo = new UprightPhoto(dim, "", []);

        Assert.True(ScaleStage.Find(photo, new CardScale(), CancellationToken.None).TryGet(out var scale, out var refusal), refusal?.Code);
        Assert.InRange(scale.PixelsPerMmAt(map.Map(CardMiddle)) / map.MagnificationAt(CardMiddle), 0.998, 1.002);
    }

    [Fact]
    public void CardFinder_WoodOnly_NotFoundWithAdvice()
    {
        using var drawn = DrawnPhoto.OnWood(1200, 900, 9);
        using var photo = drawn.Take();

        Assert.False(ScaleStage.Find(photo, null, CancellationToken.None).TryGet(out _, out var refusal));
        Assert.Equal(("scale-not-found", "scale", RefusalFate.Unprocessable), (refusal.Code, refusal.Stage, refusal.Fate));
        Assert.Contains("same plane", refusal.Advice, StringComparison.Ordinal);
    }

    /// <summary>Outside check: OpenCV's own ChArUco detector reads our drawing as its board and puts the corners where we do.</summary>
    /// <summary>Source: OpenCV's own predefined dictionary, drawn by its own function.</summary>
    [Fact]
    public void CardMarkers_Table_IsOpenCvsDictionary()
    {
        using var dictionary = CvAruco.GetPredefinedDictionary(CardFinder.MarkerDictionary);
        Assert.Equal(CheckTargetDesign.FirstMarkerId + CheckTargetDesign.Listed.Count, CardMarkers.Count);
        for (var id = 0; id < CardMarkers.Count; id++)
        {
            using var picture = new Mat();
            dictionary.GenerateImageMarker(id, CardDesign.MarkerCells, picture, 1);
            var cells = CardMarkers.BlackCells(id);
            for (var y = 0; y < CardDesign.MarkerCells; y++)
            {
                for (var x = 0; x < CardDesign.MarkerCells; x++)
                    Assert.True(cells[y, x] == picture.At<byte>(y, x) < 128, $"marker {id}, row {y}, column {x}");
            }
        }
    }

    [Fact]
    public void CardDrawing_ReadByOpenCvsCharucoDetector_SameCorners()
    {
        using var drawn = new DrawnPhoto(900, 500, Scalar.White);
        drawn.Paint(new Homography([10, 0, -0.5, 0, 10, -0.5, 0, 0, 1]), c => CardDrawing.Draw(c, null));
        using var photo = drawn.Take(0.5, 0);
        using var gray = new Mat();
        Cv2.CvtColor(photo.Bgr, gray, ColorConversionCodes.BGR2GRAY);
        using var dictionary = CvAruco.GetPredefinedDictionary(PredefinedDictionaryType.Dict4X4_50);
        using var board = new CharucoBoard(CardDesign.Columns, CardDesign.Rows, 10f, 7.5f, dictionary);
        using var detector = new CharucoDetector(board);

        detector.DetectBoard(gray, out var corners, out var ids, out _, out var markerIds);

        Assert.Equal(CardDesign.CornerCount, corners.Length);
        Assert.Equal(CardDesign.MarkerCount, markerIds.Length);
        // That detector counts from a pixel's corner, half a pixel off ours: the shift is common to all corners and taken out.
        var shift = new PointPx(corners.Average(c => c.X), corners.Average(c => c.Y))
            - (new PointPx(ids.Average(i => CardDesign.CornersMm[i].X), ids.Average(i => CardDesign.CornersMm[i].Y)) * 10);
        Assert.InRange(shift.Length, 0, 0.75);
        for (var i = 0; i < corners.Length; i++)
        {
            var expected = (CardDesign.CornersMm[ids[i]] * 10) + shift;
            Assert.InRange(expected.DistanceTo(new PointPx(corners[i].X, corners[i].Y)), 0, 0.05);
        }
    }
}
