namespace GrainVision.Measuring.Scale.SteelRule;

/// <summary>
/// A straight row as a lens with radial distortion shows it: a point at the distance r from the picture's middle moves outward by k1 r^2
/// of that distance. All lengths are strip pixels.
/// </summary>
/// <param name="FootU">Where the row passes nearest to the picture's middle.</param>
/// <param name="OffsetV">How far the row lies from the picture's middle there, towards greater v.</param>
/// <param name="Radius">Half the picture's diagonal: k1 counts in this unit, so that it is the share by which a corner moves.</param>
/// <remarks>D. C. Brown 1971, "Close-range camera calibration", Photogrammetric Engineering 37 (8), pp. 855-866; first term only.</remarks>
internal readonly record struct LineDistortion(double FootU, double OffsetV, double Radius)
{
    /// <summary>What k1 = 1 adds to the place of a point that an ideal lens shows at u.</summary>
    public double Shift(double u)
    {
        var x = u - FootU;
        return x * ((x * x) + (OffsetV * OffsetV)) / (Radius * Radius);
    }

    /// <summary>Change of <see cref="Shift"/> per pixel along the row.</summary>
    public double ShiftSlope(double u)
    {
        var x = u - FootU;
        return ((3 * x * x) + (OffsetV * OffsetV)) / (Radius * Radius);
    }

    /// <summary>How far the row bows across itself at u for k1 = 1, counted from its foot.</summary>
    public double Bow(double u) => OffsetV * (u - FootU) * (u - FootU) / (Radius * Radius);
}
