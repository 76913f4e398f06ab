using GrainVision.Grading.Cards;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Pieces;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Geometry;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using GrainVision.Measuring.Scale.Card;
using GrainVision.Presentation.Cards;
using GrainVision.Presentation.Text;
using OpenCvSharp;
using SkiaSharp;

namespace GrainVision.Measuring.Tests.Scale;

/// <summary>Piece cards in drawn photos: the right number, or none.</summary>
public sealed class PieceCardTests(Xunit.Abstractions.ITestOutputHelper output)
{
    private const double SheetPxPerMm = 12;

    private static readonly PointPx Middle = new(CardDesign.WidthMm / 2, CardDesign.HeightMm / 2);

    [Theory]
    [InlineData(1, Surface.EndA, 0, 0, 0, 6, 0.6)]
    [InlineData(40, Surface.EndB, 37, 0, 0, 5, 0.6)]
    [InlineData(960, Surface.Face4, 200, -21, 21, 5, 0.6)]
    [InlineData(123, Surface.Face2, 10, 30, 0, 5, 0.6)]
    [InlineData(7, Surface.Face1, 15, 5, 5, 10, 3)]
    [InlineData(200, Surface.Face3, 123, 8, -4, 2.8, 0.6)]
    public void ScaleStage_PieceCard_SaysPieceAndScaleAsWellAsThePlainCard(
        int number, Surface surface, double turn, double tiltX, double tiltY, double pitch, double blur)
    {
        var card = new PieceCard(number, surface);
        var map = CameraView.Map(Middle, new PointPx(520, 420), pitch, turn, tiltX, tiltY, 1200);
        using var photo = Take(map, 1200, 900, card, blur);
        using var plain = Take(map, 1200, 900, null, blur);

        Assert.True(ScaleStage.Find(photo, null, CancellationToken.None).TryGet(out var scale, out var refusal), refusal?.Code);
        Assert.True(ScaleStage.Find(plain, null, CancellationToken.None).TryGet(out var plainScale, out refusal), refusal?.Code);

        Assert.Equal(card, scale.Finding.Card);
        Assert.Null(plainScale.Finding.Card);
        Assert.True(Read(photo).TryGet(out var read, out _));
        Assert.Equal(card, read);
        Assert.False(Read(plain).TryGet(out _, out var none));
        Assert.Equal("piece-card-not-found", none!.Code);

        var truth = 1 / map.Inverse().MagnificationAt(new PointPx(599.5, 449.5));
        Assert.InRange(scale.Finding.PixelsPerMm.Value / truth, 0.998, 1.002);
        Assert.InRange(truth, scale.Finding.PixelsPerMm.Low, scale.Finding.PixelsPerMm.High);

        // Same corners, same interval.
        Assert.InRange(scale.Finding.PixelsPerMm.StandardUncertainty / plainScale.Finding.PixelsPerMm.StandardUncertainty, 0.9, 1.1);
        for (var i = 0; i < 4; i++)
            Assert.InRange(scale.ExclusionMask[0][i].DistanceTo(map.Map(PieceCardDesign.OutlineMm[i])), 0, 0.6);
    }

    [Fact]
    public void PieceCardReader_DamagedCards_NeverAWrongPiece()
    {
        // Seeds 1 to 250: blur, glare, noise, hands and pencils over the card, tilt, small cards.
        int read = 0, refused = 0;
        for (var seed = 1; seed <= 250; seed++)
        {
            var random = new Random(seed);
            var card = new PieceCard(1 + random.Next(960), (Surface)random.Next(6));
            var map = CameraView.Map(
                Middle, new PointPx(300 + random.Next(40), 220 + random.Next(40)), 2 + (3 * random.NextDouble()), random.Next(360),
                (random.NextDouble() - 0.5) * 70, (random.NextDouble() - 0.5) * 50, 800);
            using var photo = Take(map, 640, 480, card, 0.5 + (2 * random.NextDouble()), random);
            if (Read(photo).TryGet(out var says, out var refusal))
            {
                Assert.True(says == card, $"seed {seed}: {says} instead of {card}");
                read++;
            }
            else
            {
                Assert.StartsWith("piece-card-not-", refusal.Code, StringComparison.Ordinal);
                refused++;
            }
        }

        output.WriteLine($"{read} read, {refused} refused, none wrong.");

        // Both happen often, so that the test tests something: 250 = read + refused.
        Assert.InRange(read, 90, 210);
        Assert.InRange(refused, 40, 160);
    }

    [Fact]
    public void ScaleStage_TwoPiecesCardsInOnePhoto_SortsNowhereAndSaysSo()
    {
        using var drawn = DrawnPhoto.OnWood(1200, 900, 4);
        foreach (var (number, y) in new[] { (12, 250), (13, 620) })
        {
            var map = CameraView.Map(Middle, new PointPx(560, y), 6, 4, 3, 0, 1200);
            drawn.Paint(map, c => Draw(c, new PieceCard(number, Surface.Face1)));
        }

        using var photo = drawn.Take();
        Assert.True(ScaleStage.Find(photo, null, CancellationToken.None).TryGet(out var scale, out _));
        Assert.Null(scale.Finding.Card);
        Assert.Contains(scale.Warnings, w => w.Code == WarningCode.PieceCardsDisagree);
        Assert.False(Read(photo).TryGet(out _, out var refusal));
        Assert.Equal("piece-cards-disagree", refusal!.Code);
    }

    [Fact]
    public void PieceCardReader_CodeHalfCovered_RefusedAsUnreadable()
    {
        var map = CameraView.Map(Middle, new PointPx(600, 450), 6, 12, 8, 3, 1200);
        using var drawn = DrawnPhoto.OnWood(1200, 900, 6);
        drawn.Paint(map, c => Draw(c, new PieceCard(31, Surface.EndB)));
        using var hand = new SKPaint { Color = new SKColor(200, 160, 140) };
        drawn.Paint(map, c => c.DrawRect(44, 5, 20, 40, hand));
        using var photo = drawn.Take();

        Assert.False(Read(photo).TryGet(out _, out var refusal));
        Assert.Equal("piece-card-not-readable", refusal!.Code);
        Assert.True(ScaleStage.Find(photo, null, CancellationToken.None).TryGet(out var scale, out _));
        Assert.Null(scale.Finding.Card);
        Assert.Contains(scale.Warnings, w => w.Code == WarningCode.PieceCardNotReadable);
    }

    [Fact]
    public void PieceCardReader_HostileBytes_RefusedByIntake()
    {
        Assert.False(PhotoInHand.Open(new byte[] { 1, 2, 3 }, new IntakeLimits(), CancellationToken.None).TryGet(out _, out var refusal));
        Assert.Equal("intake", refusal!.Stage);
    }

    private static Outcome<PieceCard> Read(UprightPhoto photo)
    {
        using var search = new CardSearch(photo);
        return PieceCardReader.Find(search, CancellationToken.None);
    }

    /// <summary>The card drawn in the plain card's frame.</summary>
    private static void Draw(SKCanvas canvas, PieceCard? card)
    {
        if (card is null)
        {
            CardDrawing.Draw(canvas, BundledFont.Regular);
            return;
        }

        canvas.Translate((float)PieceCardDesign.TopLeftMm.X, (float)PieceCardDesign.TopLeftMm.Y);
        PieceCardDrawing.Draw(canvas, card, BundledFont.Regular, BundledFont.Bold);
    }

    private static UprightPhoto Take(Homography map, int width, int height, PieceCard? card, double blur, Random? damage = null)
    {
        if (damage is null)
        {
            using var drawn = DrawnPhoto.OnWood(width, height, 3);
            drawn.Paint(map, c => Draw(c, card));
            return drawn.Take(blur);
        }

        // Quicker than DrawnPhoto: one drawing warped, twice too large, then averaged down.
        using var surface = SKSurface.Create(new SKImageInfo((int)(105 * SheetPxPerMm), (int)(50 * SheetPxPerMm), SKColorType.Gray8, SKAlphaType.Opaque));
        surface.Canvas.Clear(new SKColor(150, 150, 150));
        surface.Canvas.Scale((float)SheetPxPerMm);
        Draw(surface.Canvas, card);
        Damage(surface.Canvas, damage);
        using var pixels = surface.PeekPixels();
        using var sheet = Mat.FromPixelData(pixels.Height, pixels.Width, MatType.CV_8UC1, pixels.GetPixels(), pixels.RowBytes);
        using var soft = new Mat();
        Cv2.GaussianBlur(sheet, soft, default, SheetPxPerMm / 10);
        using var large = new Mat();
        using var transform = new Homography([2, 0, 0.5, 0, 2, 0.5, 0, 0, 1]).After(map)
            .After(new Homography([1 / SheetPxPerMm, 0, 0.5 / SheetPxPerMm, 0, 1 / SheetPxPerMm, 0.5 / SheetPxPerMm, 0, 0, 1])).ToMat();
        Cv2.WarpPerspective(soft, large, transform, new Size(width * 2, height * 2), InterpolationFlags.Linear, BorderTypes.Constant, new Scalar(150));
        using var small = new Mat();
        Cv2.Resize(large, small, new Size(width, height), 0, 0, InterpolationFlags.Area);
        Cv2.GaussianBlur(small, small, default, blur);
        var grain = new byte[width * height];
        damage.NextBytes(grain);
        using var noise = Mat.FromPixelData(height, width, MatType.CV_8UC1, grain);
        using var noisy = new Mat();

        // Even noise of up to +-10 levels.
        Cv2.AddWeighted(small, 1, noise, 0.08 * damage.NextDouble(), 0, noisy);
        var colour = new Mat();
        Cv2.CvtColor(noisy, colour, ColorConversionCodes.GRAY2BGR);
        return new UprightPhoto(colour, new string('0', 64), []);
    }

    private static void Damage(SKCanvas canvas, Random random)
    {
        using var paint = new SKPaint { IsAntialias = true };
        for (var i = random.Next(5); i > 0; i--)
        {
            var shade = (byte)random.Next(256);
            paint.Color = new SKColor(shade, shade, shade);
            var (x, y) = ((float)(random.NextDouble() * 90), (float)(random.NextDouble() * 50));
            if (random.Next(2) == 0)
                canvas.DrawOval(x, y, (float)(2 + (9 * random.NextDouble())), (float)(2 + (9 * random.NextDouble())), paint);
            else
                canvas.DrawRect(x, y, (float)(40 * random.NextDouble()), (float)(0.5 + (3 * random.NextDouble())), paint);
        }

        if (random.Next(3) == 0)
        {
            // Ink that ran, or glare over a part: all darker or brighter there.
            using var veil = new SKPaint { Color = new SKColor(255, 255, 255, (byte)random.Next(60, 250)) };
            canvas.DrawOval((float)(90 * random.NextDouble()), (float)(50 * random.NextDouble()), 25, 15, veil);
        }
    }
}
