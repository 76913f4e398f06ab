using System.ComponentModel.DataAnnotations;
using GrainVision.Service.Uploads;

namespace GrainVision.Service.Deliveries;

/// <summary>How much a delivery's upload may hold. Section <c>GrainVision:Deliveries</c>.</summary>
public sealed class DeliveryOptions
{
    public const string Section = "GrainVision:Deliveries";

    /// <summary>Photos in one upload. 2,000: 40 flitches with 50 photos each.</summary>
    [Range(1, 10_000)]
    public int MostPhotos { get; init; } = 2_000;

    /// <summary>Bytes of one upload, and of what a zip unpacks to. 4 GB: 2,000 photos of 2 MB.</summary>
    [Range(1_000, 100_000_000_000)]
    public long MostBytes { get; init; } = 4_000_000_000;

    /// <summary>Entries of a zip, folders and leftovers included.</summary>
    [Range(1, 100_000)]
    public int MostZipEntries { get; init; } = 10_000;

    /// <summary>
    /// How many times its packed size an entry may unpack to. 100: photos hardly pack at all, an uncompressed picture of a clean bench perhaps
    /// tenfold, a bomb a thousandfold.
    /// </summary>
    [Range(2, 1_000)]
    public int MostZipRatio { get; init; } = 100;

    /// <summary>Uploads received at once; they are held on disk, not in memory.</summary>
    [Range(1, 100)]
    public int Uploads { get; init; } = 4;

    /// <summary>How long a listener hears nothing at most. 15 s: proxies cut connections that say nothing for a minute.</summary>
    [Range(1, 600)]
    public int LongestSilenceSeconds { get; init; } = 15;

    internal UploadSizeLimits Limits => new(MostPhotos, MostBytes, MostZipEntries, MostZipRatio);
}
