using OpenCvSharp;

namespace GrainVision.Measuring.Surfaces;

/// <summary>The surface's light and colours at the maps' pitch, and the clear wood round a region to hold it against.</summary>
internal sealed class RegionSurroundings
{
    /// <summary>0.7 to 3 mm from a region: near enough to be the same wood, past its own blurred rim.</summary>
    private const double FromMm = 0.7;
    private const double ToMm = 3;

    private readonly SurfaceMaps _maps;
    private readonly byte[] _bgr;
    private readonly bool[] _taken;
    private readonly Dictionary<MarkRegion, List<int>> _rings = new(ReferenceEqualityComparer.Instance);

    public RegionSurroundings(SurfacePicture picture, SurfaceMaps maps, IReadOnlyList<MarkRegion> regions)
    {
        _maps = maps;
        using var half = new Mat();
        Cv2.Resize(picture.Bgr, half, new Size(maps.Width, maps.Height), 0, 0, InterpolationFlags.Area);
        half.GetArray(out Vec3b[] pixels);
        _bgr = new byte[pixels.Length * 3];
        for (var i = 0; i < pixels.Length; i++)
            (_bgr[3 * i], _bgr[(3 * i) + 1], _bgr[(3 * i) + 2]) = (pixels[i].Item0, pixels[i].Item1, pixels[i].Item2);
        _taken = new bool[pixels.Length];
        foreach (var i in regions.SelectMany(r => r.Pixels))
            _taken[i] = true;
    }

    /// <summary>Pixels round a region that no region takes; empty where there are none.</summary>
    public IReadOnlyList<int> Ring(MarkRegion r)
    {
        if (_rings.TryGetValue(r, out var known))
            return known;
        var reach = (int)Math.Ceiling(ToMm * _maps.PitchPxPerMm);
        var (left, top) = (Math.Max(0, r.Pixels.Min(i => i % _maps.Width) - reach), Math.Max(0, (r.Pixels.Min() / _maps.Width) - reach));
        var (right, bottom) = (Math.Min(_maps.Width - 1, r.Pixels.Max(i => i % _maps.Width) + reach), Math.Min(_maps.Height - 1, (r.Pixels.Max() / _maps.Width) + reach));
        var (w, h) = (right - left + 1, bottom - top + 1);
        var away = new byte[w * h];
        Array.Fill(away, (byte)255);
        foreach (var i in r.Pixels)
            away[(((i / _maps.Width) - top) * w) + (i % _maps.Width) - left] = 0;
        using var mask = Mat.FromPixelData(h, w, MatType.CV_8UC1, away);
        using var distance = new Mat();
        Cv2.DistanceTransform(mask, distance, DistanceTypes.L2, DistanceTransformMasks.Mask3);
        distance.GetArray(out float[] apart);
        var ring = new List<int>();
        for (var k = 0; k < apart.Length; k++)
        {
            var i = ((top + (k / w)) * _maps.Width) + left + (k % w);
            if (apart[k] > FromMm * _maps.PitchPxPerMm && apart[k] <= reach && !_taken[i])
                ring.Add(i);
        }

        return _rings[r] = ring;
    }

    /// <summary>
    /// Darker than the wood round it, at its darkest, by the wood's own spread, redder, yellower, the wood's light, its spread: shares of the wood's light.
    /// </summary>
    public float[] Contrast(MarkRegion r)
    {
        var ring = Ring(r);
        if (ring.Count == 0)
            return new float[7];
        var (inR, inG, inB) = Mean(r.Pixels);
        var (outR, outG, outB) = Mean(ring);
        var (inside, outside) = (inR + inG + inB, Math.Max(1, outR + outG + outB));
        var darkest = r.Pixels.Min(Light);
        var spread = Math.Sqrt(ring.Average(i => Math.Pow(Light(i) - outside, 2)));
        return
        [
            (float)((outside - inside) / outside), (float)((outside - darkest) / outside), (float)((outside - inside) / Math.Max(6, spread)),
            (float)((inR / Math.Max(1, inside)) - (outR / outside)), (float)((outB / outside) - (inB / Math.Max(1, inside))), (float)(outside / 765), (float)(spread / outside),
        ];
    }

    private double Light(int i) => _bgr[3 * i] + _bgr[(3 * i) + 1] + _bgr[(3 * i) + 2];

    private (double R, double G, double B) Mean(IReadOnlyList<int> pixels)
    {
        long r = 0, g = 0, b = 0;
        foreach (var i in pixels)
        {
            b += _bgr[3 * i];
            g += _bgr[(3 * i) + 1];
            r += _bgr[(3 * i) + 2];
        }

        return ((double)r / pixels.Count, (double)g / pixels.Count, (double)b / pixels.Count);
    }
}
