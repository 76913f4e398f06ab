using System.Runtime.CompilerServices;

namespace GrainVision.Synthesis;

/// <summary>Pores of ash and resin ducts of spruce: tubes along the fibres, known by the fibre (qx, qy) that they follow.</summary>
internal static class WoodGrainDetail
{
    /// <summary>0.31 mm: pores of the porous band stand about that far apart.</summary>
    private const float PoreCellMm = 0.31f;

    /// <summary>1.5 mm: ducts are a few to a square centimetre.</summary>
    private const float DuctCellMm = 1.5f;

    /// <summary>Share of a pixel covered by open pores, 0 to 1.</summary>
    public static float Pores(float qx, float qy, float z, RingTable rings, float pitch, bool end)
    {
        float gx = (qx / PoreCellMm) - 0.5f, gy = (qy / PoreCellMm) - 0.5f;
        var x0 = (int)MathF.Floor(gx);
        var y0 = (int)MathF.Floor(gy);
        var covered = 0f;
        var blur = MathF.Max(pitch, 0.03f);
        for (var i = 0; i < 4; i++)
        {
            int cx = x0 + (i & 1), cy = y0 + (i >> 1);
            var h = Noise.Hash(cx, cy, 11);
            float px = (cx + 0.5f + (0.8f * (Unit(h) - 0.5f))) * PoreCellMm, py = (cy + 0.5f + (0.8f * (Unit(h >> 8) - 0.5f))) * PoreCellMm;
            float dx = px - qx, dy = py - qy;
            var d2 = (dx * dx) + (dy * dy);
            if (d2 > 0.12f)
                continue;
            var radius = PoreRadius(rings.PhaseAt(MathF.Sqrt((px * px) + (py * py)), out var early), early, h);
            if (radius <= 0 || (!end && OutOfPlane(h, z)))
                continue;
            covered += Math.Clamp(0.5f + ((radius - MathF.Sqrt(d2)) / blur), 0, 1) * Math.Min(1, radius * radius * 4 / (blur * blur));
        }

        return Math.Min(covered, 1);
    }

    /// <summary>Positive where a duct darkens the wood, negative where its resin lightens it.</summary>
    public static float Duct(float qx, float qy, float z, float dark, float pitch)
    {
        var cx = (int)MathF.Floor(qx / DuctCellMm);
        var cy = (int)MathF.Floor(qy / DuctCellMm);
        var h = Noise.Hash(cx, cy, (int)MathF.Floor((z / 55f) + Unit(Noise.Hash(cx, cy, 3))));
        // Ducts keep to the late half of the ring and are few.
        if ((h & 7) > 1 || dark < 0.12f)
            return 0;
        float px = (cx + 0.15f + (0.7f * Unit(h >> 8))) * DuctCellMm, py = (cy + 0.15f + (0.7f * Unit(h >> 16))) * DuctCellMm;
        float dx = px - qx, dy = py - qy;
        var radius = 0.07f + (0.05f * Unit(h >> 24));
        var blur = MathF.Max(pitch, 0.03f);
        var cover = Math.Clamp(0.5f + ((radius - MathF.Sqrt((dx * dx) + (dy * dy))) / blur), 0, 1) * Math.Min(1, radius * radius * 4 / (blur * blur));
        return (h & 8) != 0 ? cover : -0.7f * cover;
    }

    private static float PoreRadius(float phase, float early, uint h)
    {
        if (phase < early)
        {
            // Large at the ring's start, smaller towards the latewood.
            var t = phase / early;
            return Unit(h >> 16) < 0.97f - (0.35f * t) ? (0.155f - (0.06f * t)) * (0.8f + (0.4f * Unit(h >> 24))) : 0;
        }

        return Unit(h >> 16) < 0.16f ? 0.035f + (0.02f * Unit(h >> 24)) : 0;
    }

    /// <summary>Vessels weave in and out of any plane: they show as dashes on a face.</summary>
    private static bool OutOfPlane(uint h, float z) => Noise.At((z / 9f) + (h & 1023), (h >> 10) & 1023) < -0.30f;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static float Unit(uint h) => (h & 255) * (1 / 255f);
}
