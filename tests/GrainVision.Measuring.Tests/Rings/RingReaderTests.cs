using GrainVision.Measuring.Rings;
using OpenCvSharp;

namespace GrainVision.Measuring.Tests.Rings;

/// <summary>Drawn strips with known rings: the truth is the formula that drew them.</summary>
public sealed class RingReaderTests
{
    /// <summary>From 0.6 mm (42 an inch) to 4.3 mm (6 an inch).</summary>
    [Theory]
    [InlineData(8.4)]
    [InlineData(14)]
    [InlineData(30)]
    [InlineData(60)]
    public void Read_EvenRings_EachBoundaryWithinATenthOfAMillimetre(double ringColumns)
    {
        var at = Read(ringColumns, _ => { }).Chosen.Select(c => c.At).ToList();

        double[] truth = [.. Enumerable.Range(1, (int)(Columns / ringColumns)).Select(i => (i * ringColumns) - 0.5).Where(x => x is > 40 and < Columns - 40)];
        Assert.All(truth, t => Assert.Contains(at, x => Math.Abs(x - t) < 1.4));
        Assert.Equal(truth.Length, at.Count(x => x > truth[0] - (ringColumns / 2) && x < truth[^1] + (ringColumns / 2)));
    }

    /// <summary>A pencil stroke of 0.2 mm along the rings over two millimetres of the path's own band: it does not cross the other bands.</summary>
    [Fact]
    public void Read_ShortPencilStrokeBetweenRings_IsNotCounted()
    {
        var clear = Read(30, _ => { }).Chosen.Count;

        var marked = Read(30, strip => strip.Rectangle(new Rect(404, 56, 3, 28), new Scalar(60, 60, 60), -1));

        Assert.Equal(clear, marked.Chosen.Count);
    }

    /// <summary>A knot of 7 mm over the whole strip: nothing there is sure.</summary>
    [Fact]
    public void Read_KnotAcrossTheStrip_IsADoubt()
    {
        var reading = Read(30, strip => strip.Ellipse(new Point(400, 70), new Size(50, 120), 0, 0, 360, new Scalar(40, 60, 90), -1));

        Assert.True(reading.Chosen.Count(c => c.At is > 360 and < 440) < 2 || reading.Unreadable.Skip(360).Take(80).Average() > 0.3);
    }

    private const int Columns = 840;

    private static RingReading Read(double ringColumns, Action<Mat> mark)
    {
        using var strip = DrawnStrip.Rings(Columns, 141, ringColumns);
        mark(strip);
        using var inside = new Mat(141, Columns, MatType.CV_32FC1, Scalar.All(1));
        return RingReader.Read(Scaled, inside, 70)!;

        Mat Scaled(double scale)
        {
            var scaled = new Mat();
            Cv2.Resize(strip, scaled, new Size((int)Math.Round(Columns * scale), 141));
            return scaled;
        }
    }
}
