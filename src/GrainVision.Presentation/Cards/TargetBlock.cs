using GrainVision.Grading.Cards;
using GrainVision.Grading.Quantities;
using SkiaSharp;

namespace GrainVision.Presentation.Cards;

/// <summary>The block of bands: pale earlywood that darkens to latewood and ends in one sharp step, all of one width.</summary>
internal static class TargetBlock
{
    /// <summary>Where the darkening starts and where full latewood is reached, as shares of a band: spruce about (no source; nothing depends on it).</summary>
    private const double DarkensFrom = 0.5;

    private const double DarkFrom = 0.85;

    /// <summary>14 tones between: each step is a fraction of the sharp one, so that there is one boundary a band.</summary>
    private const int Tones = 14;

    /// <summary>Colours of planed spruce: the piece is found by the colour of wood.</summary>
    private static readonly (double R, double G, double B) Early = (228, 194, 150);

    private static readonly (double R, double G, double B) Late = (138, 90, 54);

    /// <summary>Draws it in the card's millimetres.</summary>
    public static void Draw(SKCanvas canvas, TargetBands bands)
    {
        const float length = (float)CheckTargetDesign.BlockLengthMm, height = (float)CheckTargetDesign.BlockHeightMm;
        var angle = Units.DegToRad(bands.AngleDegrees);
        using var restore = new SKAutoCanvasRestore(canvas);
        canvas.Translate((float)CheckTargetDesign.BlockAtMm.X, (float)CheckTargetDesign.BlockAtMm.Y);
        canvas.ClipRect(new SKRect(0, 0, length, height), SKClipOperation.Intersect, true);

        // From here x runs along the bands' normal; the bands rise to the right by their angle.
        canvas.RotateRadians((float)((Math.PI / 2) - angle));
        var reach = (length * Math.Sin(angle)) + (height * Math.Cos(angle));
        using var paint = new SKPaint { IsAntialias = true };
        for (var k = -1; k * bands.PitchMm < reach; k++)
        {
            // Half a band in: no boundary on the block's corner. Each tone is painted to the far end and overpainted by the next: no seams.
            var start = (k + 0.5) * bands.PitchMm;
            for (var tone = 0; tone <= Tones; tone++)
            {
                var from = tone == 0 ? start : start + (bands.PitchMm * (DarkensFrom + ((DarkFrom - DarkensFrom) * tone / Tones)));
                paint.Color = Mix((double)tone / Tones);
                canvas.DrawRect(new SKRect((float)from, -length - height, (float)(reach + bands.PitchMm), length + height), paint);
            }
        }
    }

    private static SKColor Mix(double late)
    {
        byte Of(double a, double b) => (byte)Math.Round(a + (late * (b - a)));
        return new SKColor(Of(Early.R, Late.R), Of(Early.G, Late.G), Of(Early.B, Late.B));
    }
}
