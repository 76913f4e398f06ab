namespace GrainVision.Measuring.Intake;

/// <summary>
/// Focal length from a file's EXIF, where its tags show that the picture is the whole of what the lens saw (Exif 2.3, tags 0xA002, 0xA003, 0xA405). Then the
/// lens's axis falls on the middle and its focal length is known; of a cropped, resized or edited picture neither may be taken for granted.
/// </summary>
/// <remarks>Fails where an editor crops to a camera's own shape and writes the new size: no tag can show that.</remarks>
internal static class ExifFocalLength
{
    private const ushort ExifDirectoryTag = 34665;
    private const ushort WidthTag = 40962;
    private const ushort HeightTag = 40963;
    private const ushort FocalIn35MmTag = 41989;

    /// <summary>43.27 mm: diagonal of a 36 x 24 mm frame, against whose lenses the tag counts.</summary>
    private const double FrameDiagonalMm = 43.27;

    /// <summary>Long side over short side of what cameras write: 4:3, 3:2, 16:9.</summary>
    private static readonly double[] Shapes = [4 / 3.0, 3 / 2.0, 16 / 9.0];

    /// <summary>0.6 %: 4032 x 3024, 4000 x 3000, 6000 x 4000, 4608 x 2592 and the like, rounded to blocks of 16.</summary>
    private const double ShapeWithin = 0.006;

    /// <summary>Focal length in px where the EXIF block shows that the picture is whole; else null.</summary>
    /// <param name="exif">A TIFF structure.</param>
    /// <param name="width">Of the picture as stored, px.</param>
    /// <param name="height">Of the picture as stored, px.</param>
    public static double? PxIfUncropped(ReadOnlySpan<byte> exif, int width, int height)
    {
        if (!TiffDirectory.TryOpen(exif, out var first) || first.First(ExifDirectoryTag) is not { } at || !TiffDirectory.TryOpenAt(exif, at, out var tags))
            return null;
        if (tags.First(WidthTag) != width || tags.First(HeightTag) != height || tags.First(FocalIn35MmTag) is not (>= 10 and <= 400 and { } focal))
            return null;
        var shape = Math.Max(width, height) / (double)Math.Min(width, height);
        return Shapes.Any(s => Math.Abs((shape / s) - 1) <= ShapeWithin) ? focal / FrameDiagonalMm * Math.Sqrt(((double)width * width) + ((double)height * height)) : null;
    }
}
