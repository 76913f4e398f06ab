namespace GrainVision.Service.Uploads;

/// <summary>How much an upload of photos may hold. The numbers are settings, with their defaults in <c>Deliveries/DeliveryOptions.cs</c>.</summary>
/// <param name="MostPhotos">Photos.</param>
/// <param name="MostBytes">Bytes, and those that a zip unpacks to.</param>
/// <param name="MostZipEntries">Entries of a zip, folders and leftovers included.</param>
/// <param name="MostZipRatio">How many times its packed size an entry of a zip may unpack to.</param>
internal sealed record UploadSizeLimits(int MostPhotos, long MostBytes, int MostZipEntries, int MostZipRatio);
