using GrainVision.Measuring.Rings;
using OpenCvSharp;

namespace GrainVision.Measuring.Tests.Rings;

public sealed class RingNetworkTests
{
    /// <summary>Against the formula of the training script (norm() of tools/network-training/train_rings.py), written out without prefix sums.</summary>
    [Fact]
    public void Normalise_RandomStrip_AsTheTrainingDid()
    {
        const int n = 333;
        var random = new Random(7);
        Vec3b[] pixels = [.. Enumerable.Range(0, RingNetwork.Rows * n).Select(_ => new Vec3b((byte)random.Next(256), (byte)random.Next(200), (byte)random.Next(90)))];
        double V(int c, int y, int x) => pixels[(y * n) + x][c];
        double ColumnMean(int c, int x) => Enumerable.Range(0, RingNetwork.Rows).Average(y => V(c, y, x));
        double Mean(int c, int x) => Window(x, 70).Average(i => ColumnMean(c, i));
        double Contrast(int x) => Enumerable.Range(0, 3).Average(c => Enumerable.Range(0, RingNetwork.Rows).Average(y => Math.Pow(V(c, y, x) - Mean(c, x), 2)));

        var values = RingNetwork.Normalise(pixels, n);

        foreach (var (c, y, x) in new[] { (0, 0, 0), (1, 20, 100), (2, 41, 332), (0, 5, 200) })
            Assert.Equal((V(c, y, x) - Mean(c, x)) / Math.Sqrt(Window(x, 140).Average(Contrast) + 9), values[(((c * RingNetwork.Rows) + y) * n) + x], 1e-3);

        IEnumerable<int> Window(int x, int half) => Enumerable.Range(0, n).Where(i => Math.Abs(i - x) <= half);
    }

    [Fact]
    public void Read_SameStripTwice_SameBytes()
    {
        using var strip = DrawnStrip.Rings(500, 42, 20);

        Assert.Equal(RingNetwork.Read(strip).Boundary, RingNetwork.Read(strip).Boundary);
    }
}
