using System.Security.Cryptography;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Refusals;
using OpenCvSharp;
using SixLabors.ImageSharp.Memory;

namespace GrainVision.Measuring.Intake;

/// <summary>
/// Turns the bytes of a photo into an upright 8-bit picture, or says why not. Decides on the header before decoding; the decoder is
/// managed code throughout, so hostile bytes never reach a native one.
/// </summary>
/// <remarks>
/// Read: JPEG (baseline, extended, progressive; grey, YCbCr, CMYK), PNG (not interlaced), WebP, TIFF, BMP, of 8 or 16 bits a channel. Transparent parts
/// become white. Colour profiles are ignored. Of several frames the first is read and a warning given. Damage is refused (<see cref="CodedPixelsCheck"/>).
/// Not found: changes that leave the count of coded pixels right, in formats without a checksum (all but PNG). So some JPEGs with a few bytes cut
/// out of the middle are still read (CodedPixelsCheckTests has the rates), and most lossless WebPs with 60 bytes cut out of the middle (85 of 100 tried;
/// why so many is not known).
/// </remarks>
public static class PhotoIntake
{
    /// <summary>Decodes a photo.</summary>
    /// <param name="photo">The file as received.</param>
    /// <param name="limits">What it may cost.</param>
    /// <param name="cancel">Checked while decoding.</param>
    /// <returns>The photo, owned by the caller, or a refusal of stage <c>intake</c>.</returns>
    /// <exception cref="OperationCanceledException"><paramref name="cancel"/> was asked for.</exception>
    public static Outcome<UprightPhoto> Decode(ReadOnlyMemory<byte> photo, IntakeLimits limits, CancellationToken cancel)
    {
        ArgumentNullException.ThrowIfNull(limits);
        cancel.ThrowIfCancellationRequested();
        var bytes = photo.Span;
        if (bytes.IsEmpty)
            return IntakeRefusals.Empty();
        if (bytes.Length > limits.MaxBytes)
            return IntakeRefusals.TooManyBytes(limits.MaxBytes);
        if (FormatSniffer.Sniff(bytes, out var looksLike) is not { } format)
            return IntakeRefusals.FormatNotSupported(looksLike);
        if (!PhotoHeader.Read(format, bytes).TryGet(out var header, out var unreadable))
            return unreadable;
        if (Check(header, limits) is { } tooMuch)
            return tooMuch;
        if (CodedPixelsCheck.Check(photo, header, cancel) is { } damaged)
            return damaged;
        return DecodeChecked(photo, header, limits, cancel);
    }

    private static Refusal? Check(PhotoHeader header, IntakeLimits limits)
    {
        if (header.Width > limits.MaxSidePx || header.Height > limits.MaxSidePx)
            return IntakeRefusals.SideTooLong(limits.MaxSidePx);
        if (header.Pixels > limits.MaxPixels)
            return IntakeRefusals.TooManyPixels(header.Pixels, limits.MaxPixels, multiPass: false);
        if (header.Passes > 1 && header.Pixels > limits.MaxMultiPassPixels)
            return IntakeRefusals.TooManyPixels(header.Pixels, limits.MaxMultiPassPixels, multiPass: true);
        if (header.Passes > limits.MaxPasses)
            return IntakeRefusals.VariantNotSupported($"more than {limits.MaxPasses} passes");
        if (header.HasTooLittleData)
            return IntakeRefusals.EndsEarly();
        return header.Width < limits.MinSidePx || header.Height < limits.MinSidePx
            ? IntakeRefusals.TooSmall(header.Width, header.Height, limits.MinSidePx)
            : null;
    }

    private static Outcome<UprightPhoto> DecodeChecked(ReadOnlyMemory<byte> photo, PhotoHeader header, IntakeLimits limits, CancellationToken cancel)
    {
        Mat stored;
        try
        {
            stored = PixelDecoder.Decode(photo, header, limits.MaxDecodingBytes, cancel);
        }
        catch (OperationCanceledException) when (cancel.IsCancellationRequested)
        {
            throw;
        }
        catch (OutOfMemoryException)
        {
            return IntakeRefusals.OutOfMemory();
        }
        catch (Exception e) when (e is InvalidMemoryOperationException || e.InnerException is InvalidMemoryOperationException)
        {
            return IntakeRefusals.NeedsTooMuchMemory();
        }
        catch (NotSupportedException)
        {
            return IntakeRefusals.VariantNotSupported("a rare variant of its format");
        }
        catch (Exception)
        {
            // A decoder meets damaged data in the oddest ways (wrong index, null, zero divisor): with the header already judged, all
            // of them mean that the file is damaged, and none may become a 500.
            return IntakeRefusals.Unreadable();
        }

        var sha256 = Convert.ToHexStringLower(SHA256.HashData(photo.Span));
        IReadOnlyList<Warning> warnings = header.HasMoreFrames ? [new(WarningCode.OnlyFirstPictureUsed, "The file holds more than one picture; only the first was used.")] : [];
        return new UprightPhoto(ExifTurn.Upright(stored, header.Orientation), sha256, warnings) { WholeFocalPx = header.WholeFocalPx };
    }
}
