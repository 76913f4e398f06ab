using GrainVision.Measuring.Intake;

namespace GrainVision.Service.Uploads;

/// <summary>What a form with one photo may hold. The photo's share is the product's own (<see cref="IntakeLimits"/>); the rest follows from it.</summary>
internal static class PhotoFormLimits
{
    /// <summary>16: parts of a form; two are needed.</summary>
    public const int MostParts = 16;

    /// <summary>256 KB: a part other than the photo. A request with an outline is well under a kilobyte.</summary>
    public const int MostPartBytes = 256 * 1024;

    /// <summary>64 KB: what stands between the parts, their heads included.</summary>
    private const int SeamBytes = 64 * 1024;

    public static long MostPhotoBytes => IntakeLimits.Default.MaxBytes;

    /// <summary>The whole form; no request to this service is longer, an upload of many photos apart.</summary>
    public static long MostBytes => MostPhotoBytes + ((MostParts - 1) * MostPartBytes) + SeamBytes;
}
