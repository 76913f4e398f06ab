using GrainVision.Records.Log;

namespace GrainVision.Records.Measurements;

/// <summary>A measurement as it was answered.</summary>
/// <param name="Id">Time-ordered identity.</param>
/// <param name="CreatedUtc">When it was recorded.</param>
/// <param name="PhotoSha256">Of the photo as received.</param>
/// <param name="PictureSha256">Of the annotated picture.</param>
/// <param name="PictureType">Media type of the picture.</param>
/// <param name="RequestJson">The request as received.</param>
/// <param name="MeasurementJson">The answer, byte for byte.</param>
public sealed record StoredMeasurement(
    string Id,
    DateTimeOffset CreatedUtc,
    string PhotoSha256,
    string PictureSha256,
    string PictureType,
    string RequestJson,
    string MeasurementJson);

/// <summary>A caller's promise that a repeat of the same content is the same request.</summary>
/// <param name="Client">Who gave it: keys of different clients never meet.</param>
/// <param name="Key">The key itself.</param>
/// <param name="ContentSha256">Of everything that the request holds.</param>
public sealed record IdempotencyKey(string Client, string Key, string ContentSha256)
{
    /// <summary>As the entry of the answer says it.</summary>
    /// <param name="first">The first entry of the request where there are several.</param>
    internal EntryKey ToEntry(long? first = null) => new(Client, Key, ContentSha256) { First = first };
}
