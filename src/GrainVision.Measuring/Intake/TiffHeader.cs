using GrainVision.Grading.Refusals;

namespace GrainVision.Measuring.Intake;

/// <summary>Reads a TIFF's first directory (TIFF 6.0): size, orientation, further pictures, and whether the file is whole.</summary>
internal static class TiffHeader
{
    private const ushort NewSubfileType = 254;
    private const ushort ImageWidth = 256;
    private const ushort ImageLength = 257;
    private const ushort BitsPerSample = 258;
    private const ushort Compression = 259;
    private const ushort Photometric = 262;
    private const ushort StripOffsets = 273;
    private const ushort Orientation = 274;
    private const ushort SamplesPerPixel = 277;
    private const ushort StripByteCounts = 279;
    private const ushort TileOffsets = 324;
    private const ushort TileByteCounts = 325;

    /// <summary>32803: colour filter array, a sensor's raw samples (TIFF/EP, ISO 12234-2).</summary>
    private const long ColourFilterArray = 32803;

    /// <summary>100,000: strips of one row of the tallest photo allowed, with room to spare.</summary>
    private const int MostStrips = 100_000;

    public static Outcome<PhotoHeader> Read(ReadOnlySpan<byte> file)
    {
        if (!TiffDirectory.TryOpen(file, out var directory))
            return IntakeRefusals.Unreadable();
        if (directory.First(ImageWidth) is not (> 0 and <= int.MaxValue and { } width)
            || directory.First(ImageLength) is not (> 0 and <= int.MaxValue and { } height))
            return IntakeRefusals.Unreadable();
        if (directory.First(Photometric) == ColourFilterArray || ((directory.First(NewSubfileType) ?? 0) & 1) != 0)
            return IntakeRefusals.RawCamera();

        var tiled = directory.First(TileOffsets) is not null;
        var offsets = directory.All(tiled ? TileOffsets : StripOffsets, MostStrips);
        var counts = directory.All(tiled ? TileByteCounts : StripByteCounts, MostStrips);
        if (offsets is null)
            return IntakeRefusals.Unreadable();
        decimal held = 0;
        for (var i = 0; i < offsets.Length; i++)
        {
            var count = counts is not null && i < counts.Length ? counts[i] : 1;
            if (offsets[i] < 0 || count < 0 || offsets[i] > file.Length || count > file.Length - offsets[i])
                return IntakeRefusals.EndsEarly();
            held += count;
        }

        // Uncompressed pixels must all be there: the decoder would leave what is missing black.
        var bitsPerPixel = (directory.First(BitsPerSample) ?? 1) * (directory.First(SamplesPerPixel) ?? 1);
        var uncompressed = counts is not null && (directory.First(Compression) ?? 1) == 1;
        if (uncompressed && held * 8 < (decimal)width * height * bitsPerPixel)
            return IntakeRefusals.EndsEarly();

        return new PhotoHeader(PhotoFormat.Tiff, (int)width, (int)height)
        {
            Orientation = directory.First(Orientation) is >= 1 and <= 8 and { } turned ? (int)turned : 1,
            HasMoreFrames = directory.HasNext,
        };
    }
}
