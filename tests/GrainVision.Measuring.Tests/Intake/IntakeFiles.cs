using SixLabors.ImageSharp;
using SixLabors.ImageSharp.Formats;
using SixLabors.ImageSharp.Metadata.Profiles.Exif;
using SixLabors.ImageSharp.PixelFormats;

namespace GrainVision.Measuring.Tests.Intake;

/// <summary>Photos made for one test, and the repository's fixtures.</summary>
internal static class IntakeFiles
{
    /// <summary>A picture without any symmetry: red grows to the right, green downwards, blue marks the top left.</summary>
    public static Image<Rgb24> Lopsided(int width, int height)
    {
        var image = new Image<Rgb24>(width, height);
        for (var y = 0; y < height; y++)
        {
            for (var x = 0; x < width; x++)
                image[x, y] = new Rgb24((byte)(x * 255 / width), (byte)(y * 255 / height), (byte)(x < width / 4 && y < height / 4 ? 255 : 0));
        }

        return image;
    }

    public static byte[] Encode(Image image, IImageEncoder encoder, int? orientation = null)
    {
        if (orientation is { } turned)
        {
            image.Metadata.ExifProfile = new ExifProfile();
            image.Metadata.ExifProfile.SetValue(ExifTag.Orientation, (ushort)turned);
            image.Frames.RootFrame.Metadata.ExifProfile = image.Metadata.ExifProfile; // where the TIFF encoder looks
        }

        using var stream = new MemoryStream();
        image.Save(stream, encoder);
        return stream.ToArray();
    }

    public static byte[] Fixture(string path) => File.ReadAllBytes(Fixtures.PathOf(path));

    /// <summary>The photos of fixtures/photos, or of another folder for a long hunt.</summary>
    public static IEnumerable<string> Photos() =>
        Directory.EnumerateFiles(Environment.GetEnvironmentVariable("GRAINVISION_PHOTOS") ?? Fixtures.PathOf("photos"), "*", SearchOption.AllDirectories)
            .Where(f => Path.GetExtension(f).ToUpperInvariant() is ".JPG" or ".JPEG" or ".PNG" or ".WEBP" or ".TIF" or ".TIFF" or ".BMP");
}
