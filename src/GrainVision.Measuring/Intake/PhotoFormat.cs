namespace GrainVision.Measuring.Intake;

/// <summary>File formats that are read. Found from the content: names and declared types are not trusted.</summary>
public enum PhotoFormat
{
    Jpeg,
    Png,
    Webp,
    Tiff,
    Bmp,
}

/// <summary>Tells a format from a file's first bytes.</summary>
internal static class FormatSniffer
{
    /// <summary>Name given to HEIF files from phones, which need advice of their own.</summary>
    public const string Heic = "HEIC";

    private static ReadOnlySpan<byte> JpegStart => [0xFF, 0xD8, 0xFF];

    private static ReadOnlySpan<byte> PngStart => [0x89, (byte)'P', (byte)'N', (byte)'G', 0x0D, 0x0A, 0x1A, 0x0A];

    private static ReadOnlySpan<byte> Jpeg2000Start => [0, 0, 0, 0x0C, (byte)'j', (byte)'P'];

    private static ReadOnlySpan<byte> JpegXlStart => [0xFF, 0x0A];

    /// <summary>The format, or null with <paramref name="looksLike"/> naming what it seems to be instead (null: not known).</summary>
    public static PhotoFormat? Sniff(ReadOnlySpan<byte> file, out string? looksLike)
    {
        looksLike = null;
        if (file.StartsWith(JpegStart))
            return PhotoFormat.Jpeg;
        if (file.StartsWith(PngStart))
            return PhotoFormat.Png;
        if (file.Length >= 12 && file.StartsWith("RIFF"u8) && file[8..].StartsWith("WEBP"u8))
            return PhotoFormat.Webp;
        if (file.StartsWith("II*\0"u8) || file.StartsWith("MM\0*"u8) || file.StartsWith("II+\0"u8) || file.StartsWith("MM\0+"u8))
            return PhotoFormat.Tiff;
        if (file.StartsWith("BM"u8))
            return PhotoFormat.Bmp;
        looksLike = Other(file);
        return null;
    }

    private static string? Other(ReadOnlySpan<byte> file)
    {
        if (file.Length >= 12 && file[4..].StartsWith("ftyp"u8))
            return Brand(file.Slice(8, 4));
        if (file.StartsWith("GIF8"u8))
            return "GIF";
        if (file.StartsWith("%PDF"u8))
            return "PDF";
        if (file.StartsWith("PK"u8))
            return "ZIP";
        if (file.StartsWith(Jpeg2000Start))
            return "JPEG 2000";
        return file.StartsWith(JpegXlStart) ? "JPEG XL" : null;
    }

    /// <summary>ISO base media brands (ISO/IEC 23008-12 for HEIF): still pictures share the container with films.</summary>
    private static string Brand(ReadOnlySpan<byte> brand)
    {
        if (brand.StartsWith("avi"u8))
            return "AVIF";
        return brand.StartsWith("he"u8) || brand.StartsWith("mif"u8) || brand.StartsWith("msf"u8) ? Heic : "video or other ISO media";
    }
}
