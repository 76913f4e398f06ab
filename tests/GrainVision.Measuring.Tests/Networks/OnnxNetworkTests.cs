using System.Security.Cryptography;
using GrainVision.Measuring.Networks;

namespace GrainVision.Measuring.Tests.Networks;

/// <summary>A network of one multiplication, x·x, in the open ONNX format: what comes out is plain arithmetic.</summary>
public sealed class OnnxNetworkTests
{
    private static readonly byte[] Square = Convert.FromBase64String(
        "CAg6RAoOCgF4CgF4EgF5IgNNdWwSBnNxdWFyZVoUCgF4Eg8KDQgBEgkKAggBCgMSAW5iFAoBeRIPCg0IARIJCgIIAQoDEgFuQgQKABAR");

    private static readonly string Hash = Convert.ToHexStringLower(SHA256.HashData(Square));

    [Fact]
    public void Run_Square_SquaresInTheInputsShape()
    {
        using var network = OnnxNetwork.Load(Square, Hash + "  model.onnx\n");

        var output = network.Run([1, -2, 3.5f], 1, 3);

        Assert.Equal([1, 4, 12.25f], output.Values);
        Assert.Equal([1, 3], output.Shape);
    }

    [Fact]
    public void Load_OtherHash_IsRefused() => Assert.Throws<InvalidDataException>(() => OnnxNetwork.Load(Square, new string('0', 64)));

    /// <summary>Documented by ONNX Runtime: Run may be called from many threads.</summary>
    [Fact]
    public void Run_FromManyThreads_EachGetsItsOwnAnswer()
    {
        using var network = OnnxNetwork.Load(Square, Hash);

        Parallel.For(0, 200, new ParallelOptions { MaxDegreeOfParallelism = 4 }, i =>
        {
            float[] values = [.. Enumerable.Range(i, 50 + i).Select(x => (float)x)];
            Assert.Equal(values.Select(v => v * v), network.Run(values, 1, values.Length).Values);
        });
    }
}
