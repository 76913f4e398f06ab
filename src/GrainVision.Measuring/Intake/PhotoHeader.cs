using System.Diagnostics;
using GrainVision.Grading.Refusals;

namespace GrainVision.Measuring.Intake;

/// <summary>What a file says of itself before any pixel is decoded.</summary>
/// <param name="Format">By content.</param>
/// <param name="Width">As stored, before turning upright, px.</param>
/// <param name="Height">As stored, px.</param>
internal sealed record PhotoHeader(PhotoFormat Format, int Width, int Height)
{
    /// <summary>EXIF orientation, 1 to 8; 1 where none or a wrong one is given.</summary>
    public int Orientation { get; init; } = 1;

    /// <summary>Focal length in px where the file shows that its picture is the whole of what the lens saw; else null.</summary>
    public double? WholeFocalPx { get; init; }

    /// <summary>More pictures than one in the file: only the first is read.</summary>
    public bool HasMoreFrames { get; init; }

    /// <summary>Passes over the picture (JPEG scans); 1 for all other formats.</summary>
    public int Passes { get; init; } = 1;

    /// <summary>The file is shorter than the barest coding of so many pixels: the rest of the picture cannot be there.</summary>
    public bool HasTooLittleData { get; init; }

    public long Pixels => (long)Width * Height;

    /// <summary>Reads the header of a file of a known format; also finds files that end early.</summary>
    public static Outcome<PhotoHeader> Read(PhotoFormat format, ReadOnlySpan<byte> file) => format switch
    {
        PhotoFormat.Jpeg => JpegHeader.Read(file),
        PhotoFormat.Png => PngHeader.Read(file),
        PhotoFormat.Webp => WebpHeader.Read(file),
        PhotoFormat.Tiff => TiffHeader.Read(file),
        PhotoFormat.Bmp => BmpHeader.Read(file),
        _ => throw new UnreachableException($"Nothing reads the header of {format}."),
    };
}
