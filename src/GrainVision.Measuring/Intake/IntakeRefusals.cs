using System.Globalization;
using GrainVision.Grading.Refusals;

namespace GrainVision.Measuring.Intake;

/// <summary>Every way in which intake refuses, in one place so that codes and advice stay consistent.</summary>
internal static class IntakeRefusals
{
    private const string Stage = "intake";

    private const string SendOriginal = "Send the original file from the camera or phone once more, not a preview or a forwarded copy.";

    public static Refusal Empty() => new(
        "photo-empty", Stage, 400, "The photo holds no bytes.", "Choose the photo again and wait until the upload has finished.");

    public static Refusal TooManyBytes(long limit) => new(
        "photo-too-large", Stage, 413, $"The photo is larger than {limit / 1_000_000} MB.", "Send the camera's JPEG, not a raw or scanned file.");

    public static Refusal FormatNotSupported(string? looksLike) => new(
        "photo-format-not-supported",
        Stage,
        415,
        looksLike is null ? "The file is not a photo in a format that is read here." : $"The file is {looksLike}, which is not read here.",
        looksLike == FormatSniffer.Heic
            ? "Set the phone's camera format to 'most compatible' and retake, or export the photo as JPEG, and send that."
            : "Send a JPEG, PNG, WebP, TIFF or BMP file.");

    public static Refusal RawCamera() => new(
        "photo-format-not-supported", Stage, 415, "The file is a raw camera file or holds only a preview.", "Export it as JPEG or plain TIFF at full size and send that.");

    public static Refusal VariantNotSupported(string variant) => new(
        "photo-format-not-supported", Stage, 415, $"The file uses {variant}, which is not read here.", "Open it on a computer, save it as an ordinary JPEG or PNG at full size, and send that.");

    public static Refusal EndsEarly() => new(
        "photo-unreadable", Stage, 422, "The photo's file ends early: part of the picture is missing.", SendOriginal);

    public static Refusal Unreadable() => new(
        "photo-unreadable", Stage, 422, "The photo's file is damaged and cannot be read.", SendOriginal);

    public static Refusal TooManyPixels(long pixels, long limit, bool multiPass) => new(
        "photo-too-many-pixels",
        Stage,
        422,
        string.Create(CultureInfo.InvariantCulture, $"The photo has {pixels / 1e6:F1} million pixels; the limit {(multiPass ? "for a progressive JPEG " : "")}is {limit / 1e6:F0} million."),
        multiPass ? "Save it as a baseline (not progressive) JPEG, or choose a smaller size in the camera." : "Choose a smaller size in the camera, or photograph a shorter stretch of the piece.");

    public static Refusal SideTooLong(int limit) => new(
        "photo-too-many-pixels", Stage, 422, $"One side of the photo is longer than {limit} pixels.", "Photograph a shorter stretch of the piece.");

    public static Refusal TooSmall(int width, int height, int limit) => new(
        "photo-too-small", Stage, 422, $"The photo is {width} x {height} pixels; each side needs at least {limit}.", "Send the original photo at full size, not a thumbnail.");

    public static Refusal NeedsTooMuchMemory() => new(
        "photo-too-costly", Stage, 422, "The photo's file needs more memory to decode than is allowed.", "Save it as an ordinary 8-bit JPEG or PNG at full size, and send that.");

    public static Refusal OutOfMemory() => new(
        "out-of-memory", Stage, 503, "The service is short of memory.", "Try again in a minute.");
}
