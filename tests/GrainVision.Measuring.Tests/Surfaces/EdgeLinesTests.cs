using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Surfaces;
using OpenCvSharp;

namespace GrainVision.Measuring.Tests.Surfaces;

/// <summary>Which lines on an end are asked about though the network takes them for pencil. Growth lines run along u here.</summary>
public sealed class EdgeLinesTests
{
    [Theory]
    [InlineData(90, 10, 0.6, 0.5, true)] // across the rings, from the rim: as a check
    [InlineData(0, 10, 0.6, 0.5, true)] // along a ring: as a shake
    [InlineData(75, 10, 0.6, 0.5, true)]
    [InlineData(45, 10, 0.6, 0.5, false)] // aslant: no check runs so
    [InlineData(90, 10, 0.6, 3, false)] // begins well inside
    [InlineData(90, 3, 0.6, 0.5, false)] // a speck
    [InlineData(90, 10, 3, 0.5, false)] // a stamp's stroke
    public void Line_ThatACheckCouldBe_IsAskedAbout(double deg, double lengthMm, double widthMm, double insideMm, bool asked)
    {
        var (cos, sin) = (Math.Cos(Units.DegToRad(deg)), Math.Sin(Units.DegToRad(deg)));
        Point2d[] rim = [.. new[] { (-1, -1), (1, -1), (1, 1), (-1, 1) }.Select(c => (U: c.Item1 * lengthMm / 2, V: c.Item2 * widthMm / 2)).Select(p => new Point2d(20 + (p.U * cos) - (p.V * sin), 20 + (p.U * sin) + (p.V * cos)))];
        var mark = new MarkRegion(MarkClass.Marking, [0], 0.9, rim, BlemishShape.Of(rim), insideMm);
        Assert.Equal(asked, EdgeLines.Among([mark], _ => 0).Any());
        Assert.Empty(EdgeLines.Among([mark with { Class = MarkClass.Dirt }], _ => 0));
    }
}
