using GrainVision.Grading.Refusals;
using GrainVision.Measuring.Intake.CodedPixels;

namespace GrainVision.Measuring.Intake;

/// <summary>
/// Every strip of a TIFF against the rows that it must hold (TIFF 6.0: RowsPerStrip, StripsPerImage). Variants whose strips cannot be counted
/// here are refused: fax and JPEG coding, and colour differences stored at half size.
/// </summary>
internal static class TiffPixels
{
    private const ushort BitsPerSample = 258;
    private const ushort Compression = 259;
    private const ushort Photometric = 262;
    private const ushort SamplesPerPixel = 277;
    private const ushort RowsPerStrip = 278;
    private const ushort PlanarConfiguration = 284;
    private const long YCbCr = 6;
    private const long SeparatePlanes = 2;

    /// <summary>8 channels: more than colour, alpha and a spare or two is no photo.</summary>
    private const int MostChannels = 8;

    public static Refusal? Check(ReadOnlyMemory<byte> file, CancellationToken cancel)
    {
        if (!TiffDirectory.TryOpen(file.Span, out var directory))
            return IntakeRefusals.Unreadable();
        var coding = (TiffCoding)(directory.First(Compression) ?? 1);
        if (!Enum.IsDefined(coding) || directory.First(Photometric) == YCbCr)
            return IntakeRefusals.VariantNotSupported("fax or JPEG coding inside a TIFF");
        var channels = directory.First(SamplesPerPixel) ?? 1;
        var bits = directory.All(BitsPerSample, MostChannels) ?? [1];
        if (channels is < 1 or > MostChannels || (bits.Length != 1 && bits.Length != channels) || bits.Any(b => b is < 1 or > 64))
            return IntakeRefusals.Unreadable();
        if (directory.First(TiffHeader.ImageWidth) is not { } width || directory.First(TiffHeader.ImageLength) is not { } height)
            return IntakeRefusals.Unreadable();
        var rowsPerStrip = Math.Min(directory.First(RowsPerStrip) ?? height, height);
        var offsets = directory.All(TiffHeader.StripOffsets, TiffHeader.MostStrips);
        var counts = directory.All(TiffHeader.StripByteCounts, TiffHeader.MostStrips);
        if (rowsPerStrip < 1 || offsets is null || counts is null || offsets.Length != counts.Length)
            return IntakeRefusals.Unreadable();
        var planes = directory.First(PlanarConfiguration) == SeparatePlanes ? (int)channels : 1;
        var strips = (height + rowsPerStrip - 1) / rowsPerStrip;
        if (offsets.Length < strips * planes)
            return IntakeRefusals.EndsEarly();
        for (var i = 0; i < strips * planes; i++)
        {
            var pixelBits = planes > 1 ? Depth(bits, (int)(i / strips)) : Enumerable.Range(0, (int)channels).Sum(c => Depth(bits, c));
            var rowBytes = ((width * pixelBits) + 7) / 8;
            var rows = Math.Min(rowsPerStrip, height - (i % strips * rowsPerStrip));
            cancel.ThrowIfCancellationRequested();
            if (CodedPixelsCheck.Refused(TiffStrip.Check(file.Slice((int)offsets[i], (int)counts[i]), coding, rows * rowBytes, rowsPerStrip * rowBytes, cancel)) is { } refusal)
                return refusal;
        }

        return null;
    }

    private static long Depth(long[] bits, int channel) => bits.Length == 1 ? bits[0] : bits[channel];
}
