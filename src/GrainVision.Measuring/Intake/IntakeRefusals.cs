using System.Globalization;
using GrainVision.Grading.Refusals;

namespace GrainVision.Measuring.Intake;

/// <summary>Every way in which intake refuses, in one place so that codes and advice stay consistent.</summary>
internal static class IntakeRefusals
{
    public static Refusal Empty() => RefusalCatalog.PhotoEmpty.Because("The photo holds no bytes.");

    public static Refusal TooManyBytes(long limit) => RefusalCatalog.PhotoTooLarge.Because($"The photo is larger than {limit / 1_000_000} MB.");

    public static Refusal FormatNotSupported(string? looksLike) => RefusalCatalog.PhotoFormatNotSupported.Because(
        looksLike is null ? "The file is not a photo in a format that is read here." : $"The file is {looksLike}, which is not read here.",
        looksLike == FormatSniffer.Heic
            ? "Set the phone's camera format to 'most compatible' and retake, or export the photo as JPEG, and send that."
            : null);

    public static Refusal RawCamera() => RefusalCatalog.PhotoFormatNotSupported.Because("The file is a raw camera file or holds only a preview.", "Export it as JPEG or plain TIFF at full size and send that.");

    public static Refusal VariantNotSupported(string variant) => RefusalCatalog.PhotoFormatNotSupported.Because($"The file uses {variant}, which is not read here.", "Open it on a computer, save it as an ordinary JPEG or PNG at full size, and send that.");

    public static Refusal EndsEarly() => RefusalCatalog.PhotoUnreadable.Because("The photo's file ends early: part of the picture is missing.");

    public static Refusal Unreadable() => RefusalCatalog.PhotoUnreadable.Because("The photo's file is damaged and cannot be read.");

    public static Refusal TooManyPixels(long pixels, long limit, bool multiPass) => RefusalCatalog.PhotoTooManyPixels.Because(
        string.Create(CultureInfo.InvariantCulture, $"The photo has {pixels / 1e6:F1} million pixels; the limit {(multiPass ? "for a progressive JPEG " : "")}is {limit / 1e6:F0} million."),
        multiPass ? "Save it as a baseline (not progressive) JPEG, or choose a smaller size in the camera." : null);

    public static Refusal SideTooLong(int limit) => RefusalCatalog.PhotoTooManyPixels.Because($"One side of the photo is longer than {limit} pixels.", "Photograph a shorter stretch of the piece.");

    public static Refusal TooSmall(int width, int height, int limit) => RefusalCatalog.PhotoTooSmall.Because($"The photo is {width} x {height} pixels; each side needs at least {limit}.");

    public static Refusal NeedsTooMuchMemory() => RefusalCatalog.PhotoTooCostly.Because("The photo's file needs more memory to decode than is allowed.");

    public static Refusal OutOfMemory() => RefusalCatalog.OutOfMemory.Because("The service is short of memory.");
}
