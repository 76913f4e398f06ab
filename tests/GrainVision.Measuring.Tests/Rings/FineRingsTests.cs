using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Intake;
using OpenCvSharp;

namespace GrainVision.Measuring.Tests.Rings;

/// <summary>Design section 4: fewer than about 4 pixels a ring is a refusal with advice, whatever the network makes of it.</summary>
public sealed class FineRingsTests
{
    [Theory]
    [InlineData(2.5)]
    [InlineData(3.2)]
    public void Rings_UnderFourPixels_CannotSayAndGoCloser(double ringPx)
    {
        using var picture = DrawnStrip.Rings(900, 400, ringPx);
        var photo = picture.ToBytes(".png");
        var request = new MeasuringRequest
        {
            View = View.End, Species = "sitka-spruce", Scale = new PitchScale(8), Outline = [new(0, 0), new(899, 0), new(899, 399), new(0, 399)],
        };

        Assert.True(MeasureJob.Run(photo, request, null, IntakeLimits.Default, CancellationToken.None).TryGet(out var measured, out var refusal), refusal?.Message);

        Assert.Null(measured.Rings);
        Assert.Contains(measured.CannotSay, c => c.What == CannotSayTopic.Rings);
    }
}
