using GrainVision.Grading.Refusals;

namespace GrainVision.Measuring.Intake;

/// <summary>Reads a TIFF's first directory (TIFF 6.0): size, orientation, further pictures, and whether its strips lie in the file.</summary>
internal static class TiffHeader
{
    private const ushort NewSubfileType = 254;
    public const ushort ImageWidth = 256;
    public const ushort ImageLength = 257;
    private const ushort Photometric = 262;
    public const ushort StripOffsets = 273;
    private const ushort Orientation = 274;
    public const ushort StripByteCounts = 279;
    private const ushort TileOffsets = 324;

    /// <summary>32803: colour filter array, a sensor's raw samples (TIFF/EP, ISO 12234-2).</summary>
    private const long ColourFilterArray = 32803;

    /// <summary>100,000: strips of one row of the tallest photo allowed, with room to spare.</summary>
    public const int MostStrips = 100_000;

    public static Outcome<PhotoHeader> Read(ReadOnlySpan<byte> file)
    {
        if (!TiffDirectory.TryOpen(file, out var directory))
            return IntakeRefusals.Unreadable();
        if (directory.First(ImageWidth) is not (> 0 and <= int.MaxValue and { } width)
            || directory.First(ImageLength) is not (> 0 and <= int.MaxValue and { } height))
            return IntakeRefusals.Unreadable();
        if (directory.First(Photometric) == ColourFilterArray || ((directory.First(NewSubfileType) ?? 0) & 1) != 0)
            return IntakeRefusals.RawCamera();

        if (directory.First(TileOffsets) is not null)
            return IntakeRefusals.VariantNotSupported("a TIFF cut into tiles"); // nor does the decoder read it
        var offsets = directory.All(StripOffsets, MostStrips);
        var counts = directory.All(StripByteCounts, MostStrips);
        if (offsets is null || counts is null || counts.Length != offsets.Length)
            return IntakeRefusals.Unreadable();
        for (var i = 0; i < offsets.Length; i++)
        {
            if (offsets[i] < 0 || counts[i] < 0 || offsets[i] > file.Length || counts[i] > file.Length - offsets[i])
                return IntakeRefusals.EndsEarly();
        }

        return new PhotoHeader(PhotoFormat.Tiff, (int)width, (int)height)
        {
            Orientation = directory.First(Orientation) is >= 1 and <= 8 and { } turned ? (int)turned : 1,
            HasMoreFrames = directory.HasNext,
        };
    }
}
