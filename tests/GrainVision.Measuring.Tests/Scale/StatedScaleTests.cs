using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Intake;
using GrainVision.Measuring.Scale;
using OpenCvSharp;

namespace GrainVision.Measuring.Tests.Scale;

public sealed class StatedScaleTests
{
    [Fact]
    public void PointsScale_3_4_5Triangle_ExactPitchAndPickUncertainty()
    {
        using var photo = Blank();
        Assert.True(ScaleStage.Find(photo, new PointsScale(new(100, 100), new(400, 500), 50), CancellationToken.None).TryGet(out var scale, out _));

        // 500 px over 50 mm; standard uncertainty root(2) px of 500 px, and 0.2 % for the plane.
        Assert.Equal(10, scale.Finding.PixelsPerMm.Value, 12);
        Assert.Equal(10 * Math.Sqrt((2.0 / 500 / 500) + (0.002 * 0.002)), scale.Finding.PixelsPerMm.StandardUncertainty, 6);
        Assert.Equal(ScaleKind.Points, scale.Finding.Kind);
        Assert.Null(scale.MmFromPx);
        Assert.Equal(2, scale.Finding.Marks!.Count);
    }

    [Theory]
    [InlineData(100, 100, 100, 100, 50)]
    [InlineData(100, 100, 110, 100, 50)]
    [InlineData(double.NaN, 100, 400, 500, 50)]
    [InlineData(100, 100, double.PositiveInfinity, 500, 50)]
    [InlineData(-5, 100, 400, 500, 50)]
    [InlineData(100, 100, 400, 900, 50)]
    [InlineData(100, 100, 400, 500, 0)]
    [InlineData(100, 100, 400, 500, -50)]
    [InlineData(100, 100, 400, 500, double.NaN)]
    [InlineData(100, 100, 400, 500, 0.5)]
    [InlineData(100, 100, 400, 500, 20_001)]
    [InlineData(100, 100, 130, 130, 15_000)]
    public void PointsScale_Unusable_RefusedWithAdvice(double ax, double ay, double bx, double by, double mm)
    {
        using var photo = Blank();
        Assert.False(ScaleStage.Find(photo, new PointsScale(new(ax, ay), new(bx, by), mm), CancellationToken.None).TryGet(out _, out var refusal));
        Assert.Equal(("scale-points-unusable", "scale", RefusalFate.Unprocessable), (refusal.Code, refusal.Stage, refusal.Fate));
        Assert.NotEmpty(refusal.Advice);
    }

    [Fact]
    public void PitchScale_Stated_TakenWithATenthOfAPercent()
    {
        using var photo = Blank();
        Assert.True(ScaleStage.Find(photo, new PitchScale(12.5), CancellationToken.None).TryGet(out var scale, out _));
        Assert.Equal(12.5, scale.Finding.PixelsPerMm.Value);
        Assert.Equal(0.0125, scale.Finding.PixelsPerMm.StandardUncertainty, 9);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-1)]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(0.01)]
    [InlineData(600)]
    public void PitchScale_Absurd_Refused(double pitch)
    {
        using var photo = Blank();
        Assert.False(ScaleStage.Find(photo, new PitchScale(pitch), CancellationToken.None).TryGet(out _, out var refusal));
        Assert.Equal("scale-pitch-unusable", refusal.Code);
    }

    [Fact]
    public void ScaleStage_OutlineSizeBeforeOutline_IsABug()
    {
        using var photo = Blank();
        Assert.Throws<ArgumentException>(() => ScaleStage.Find(photo, new OutlineSizeScale(100, 25), CancellationToken.None));
    }

    private static UprightPhoto Blank() => new(new Mat(600, 800, MatType.CV_8UC3, Scalar.All(128)), "", []);
}
