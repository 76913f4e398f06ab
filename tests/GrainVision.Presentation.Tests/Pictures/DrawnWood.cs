using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Intake;
using GrainVision.Presentation.Pictures;
using OpenCvSharp;

namespace GrainVision.Presentation.Tests.Pictures;

/// <summary>Wood drawn by formula, and measurements written by hand to fit it. All invented: no real piece, no measured truth.</summary>
internal static class DrawnWood
{
    public static readonly Measured PixelsPerMm = new(10, 9.9, 10.1);

    /// <summary>A photo whose wood has rings round <paramref name="pith"/> (or straight lines where it is far away).</summary>
    public static UprightPhoto Photo(int width, int height, PointPx[] outline, PointPx pith, double ringPx, Scalar? wood = null, Scalar? late = null)
    {
        var mat = new Mat(height, width, MatType.CV_8UC3, new Scalar(96, 104, 110));
        var (light, dark) = (wood ?? new Scalar(150, 190, 222), late ?? new Scalar(70, 110, 160));
        using var mask = new Mat(height, width, MatType.CV_8UC1, Scalar.All(0));
        Cv2.FillConvexPoly(mask, outline.Select(p => new Point((int)p.X, (int)p.Y)), Scalar.All(255));
        for (var y = 0; y < height; y++)
        {
            var pixels = mat.RowSpan<Vec3b>(y);
            var inside = mask.RowSpan<byte>(y);
            for (var x = 0; x < width; x++)
            {
                if (inside[x] == 0)
                    continue;
                var phase = new PointPx(x, y).DistanceTo(pith) / ringPx;
                phase -= Math.Floor(phase);
                var share = Math.Pow(phase, 4);
                byte Mix(double a, double b) => (byte)(a + ((b - a) * share) + (((x * 7919) ^ (y * 104729)) % 9));
                pixels[x] = new Vec3b(Mix(light.Val0, dark.Val0), Mix(light.Val1, dark.Val1), Mix(light.Val2, dark.Val2));
            }
        }

        return new UprightPhoto(mat, new string('a', 64), []);
    }

    public static PointPx[] Box(double left, double top, double width, double height) =>
        [new(left, top), new(left + width, top), new(left + width, top + height), new(left, top + height)];

    public static Measurement Bare(View view, int width, int height, IReadOnlyList<PointPx> outline) => new()
    {
        View = view,
        Species = "sitka-spruce",
        Photo = new PhotoFinding(new string('a', 64), width, height),
        PipelineVersion = "test",
        Scale = new ScaleFinding(ScaleKind.Pitch, PixelsPerMm),
        Outline = outline,
    };

    /// <summary>A level radial path from one x to another with a boundary every <paramref name="ringPx"/>.</summary>
    public static RingFinding LevelRings(double fromX, double toX, double y, double ringPx)
    {
        var boundaries = new List<PointPx>();
        for (var x = fromX; x <= toX; x += ringPx)
            boundaries.Add(new(x, y));
        var perInch = 25.4 * PixelsPerMm.Value / ringPx;
        var path = Enumerable.Range(0, 41).Select(i => new PointPx(fromX + ((toX - fromX) * i / 40), y)).ToArray();
        return new RingFinding(boundaries.Count - 1, Around(perInch, 0.03), Around(perInch * 0.82, 0.05), Around(ringPx / 10, 0.03), new Measured(0.24, 0.2, 0.28), path, boundaries)
        {
            WorstInchPath = [.. path.Where(p => p.X > fromX + ((toX - fromX) * 0.55) && p.X < fromX + ((toX - fromX) * 0.55) + 254)],
            FromPithSide = true,
        };
    }

    public static Measured Around(double value, double share) => new(value, value * (1 - share), value * (1 + share));

    public static BlemishFinding Blemish(BlemishKind kind, double x, double y, double radiusX, double radiusY, double probability = 0.93) =>
        new(kind, probability, new(x, y), Around(radiusX / 5, 0.08), Around(Math.Min(radiusX, radiusY) / 5, 0.08), radiusX / 5, radiusY / 5, 12,
            [.. Enumerable.Range(0, 24).Select(i => new PointPx(x + (radiusX * Math.Cos(i * Math.Tau / 24)), y + (radiusY * Math.Sin(i * Math.Tau / 24))))])
        {
            AlongMm = x / 10,
            AcrossMm = y / 10,
        };

    public static Verdict Verdict(VerdictOutcome outcome, string scope, params string[] reasons) => new(
        "spar-sample", 1, "solid wing spar", outcome, scope,
        [.. reasons.Select((r, i) => new Reason("limit-" + i, outcome, r, "test", HandCheck: outcome == VerdictOutcome.Hold ? "Count the rings on this end with a steel rule." : null))],
        ["Look for compression failures under slanted light."], ["Supports a qualified person."]);
}
