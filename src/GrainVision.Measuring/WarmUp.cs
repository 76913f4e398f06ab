using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Rules;
using GrainVision.Measuring.Intake;
using SixLabors.ImageSharp;
using SixLabors.ImageSharp.PixelFormats;

namespace GrainVision.Measuring;

/// <summary>Measures drawn rings once, so that the first real photo does not pay for compiling every stage.</summary>
public static class WarmUp
{
    private const int Width = 640;
    private const int Height = 420;

    /// <summary>20 px a ring at 8 px/mm: ten rings an inch, what most spruce has.</summary>
    private const double RingPx = 20;

    private const double PixelsPerMm = 8;

    /// <summary>Runs the whole job on an end and on a face. Their answers do not matter, and refusals are answers.</summary>
    /// <param name="viewer">Draws the picture, to warm that up too.</param>
    /// <param name="cancel">Looked at between stages.</param>
    public static void Run(PhotoViewer viewer, CancellationToken cancel)
    {
        var photo = DrawnRings();
        foreach (var view in (ReadOnlySpan<View>)[View.End, View.Face])
        {
            var request = new MeasuringRequest
            {
                View = view,
                Species = "sitka-spruce",
                Scale = new PitchScale(PixelsPerMm),
                Outline = [new PointPx(0, 0), new PointPx(Width - 1, 0), new PointPx(Width - 1, Height - 1), new PointPx(0, Height - 1)],
            };
            MeasureJob.Run(photo, request, RuleBookSet.Embedded.Latest[0], IntakeLimits.Default, viewer, cancel);
        }
    }

    private static byte[] DrawnRings()
    {
        using var image = new Image<Rgb24>(Width, Height);
        image.ProcessPixelRows(rows =>
        {
            for (var y = 0; y < Height; y++)
            {
                var row = rows.GetRowSpan(y);
                for (var x = 0; x < Width; x++)
                {
                    // Pale wood that darkens towards the end of each ring, round a pith far to the left.
                    var phase = Math.Sqrt(((x + 900.0) * (x + 900.0)) + (y * (double)y)) / RingPx % 1;
                    var tone = 215 - (90 * phase * phase * phase);
                    row[x] = new Rgb24((byte)tone, (byte)(tone * 0.85), (byte)(tone * 0.65));
                }
            }
        });
        using var stream = new MemoryStream();
        image.SaveAsJpeg(stream);
        return stream.ToArray();
    }
}
