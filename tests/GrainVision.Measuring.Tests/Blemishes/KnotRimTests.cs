using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Surface;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using GrainVision.Measuring.Section;
using OpenCvSharp;

namespace GrainVision.Measuring.Tests.Blemishes;

/// <summary>
/// The diameter is that of the knot proper, not of the distorted grain round it (ANC-19 2.4201): dark discs of a known width with a darker
/// ground fading round them, on striped wood, drawn here and not by the synthesiser.
/// </summary>
public sealed class KnotRimTests
{
    private const double PixelsPerMm = 5;

    [Theory]
    [InlineData(4, 1)]
    [InlineData(4, 2.5)]
    [InlineData(8, 1)]
    [InlineData(8, 2)]
    [InlineData(14, 1)]
    public void Of_DiscInFadingDarkGrain_IsTheDiscAlone(double diameterMm, double aspect)
    {
        var (rim, candidate) = Look(diameterMm, aspect);

        // 0.7 mm: two pixels of the surface that blemishes are looked for on.
        Assert.InRange(rim.Shape.DiameterMm, diameterMm - 0.7, diameterMm + 0.7);
        Assert.InRange(diameterMm, rim.LeastMm - 0.7, rim.GreatestMm + 0.7);
        Assert.True(candidate.Shape.DiameterMm > rim.Shape.DiameterMm + 0.3, "the odd place takes in the darker grain; otherwise this proves nothing");
    }

    private static (KnotRim Rim, BlemishCandidate Candidate) Look(double diameterMm, double aspect)
    {
        using var photo = new UprightPhoto(Drawn(diameterMm / 2, aspect), "", []);
        PointPx[] corners = [new(20, 20), new(photo.Width - 21, 20), new(photo.Width - 21, photo.Height - 21), new(20, photo.Height - 21)];
        var plane = SurfaceFrame.Create(corners, PhotoScale.Uniform(new ScaleFinding(ScaleKind.Pitch, Measured.Exact(PixelsPerMm))));
        using var raster = RectifiedSurface.Resample(photo, plane, LineBackground.PitchPxPerMm, 4e6);
        var surface = SurfaceChannels.Of(photo, raster, _ => 0, _ => 0);
        var candidate = CandidateFinder.Find(raster, surface).Where(c => !c.IsLine).MaxBy(c => c.Shape.DiameterMm)!;
        var rim = KnotRim.Of(surface, raster, candidate);
        Assert.NotNull(rim);
        return (rim, candidate);
    }

    private static Mat Drawn(double radiusMm, double aspect)
    {
        const int width = 900, height = 340;
        var mat = new Mat(height, width, MatType.CV_8UC3);
        for (var y = 0; y < height; y++)
        {
            for (var x = 0; x < width; x++)
            {
                var (u, v) = ((x - 450) / PixelsPerMm / aspect, (y - 170) / PixelsPerMm);
                var outside = Math.Sqrt((u * u) + (v * v)) - radiusMm;
                var wood = 190 - (25 * Math.Pow(Math.Max(0, Math.Sin(2 * Math.PI * v / 2.3)), 4));
                var light = outside < 0 ? 0.45 : 1 - (0.3 * Math.Exp(-outside / (0.45 * radiusMm)));
                var grey = wood * light;
                mat.Set(y, x, new Vec3b((byte)(grey * 0.62), (byte)(grey * 0.85), (byte)Math.Min(255, grey * 1.1)));
            }
        }

        Cv2.GaussianBlur(mat, mat, new Size(0, 0), 1);
        return mat;
    }
}
