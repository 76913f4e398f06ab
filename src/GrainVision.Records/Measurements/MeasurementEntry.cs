using System.Data.Common;
using System.Text;
using System.Text.Json;
using GrainVision.Records.Log;
using GrainVision.Records.Schema;

namespace GrainVision.Records.Measurements;

/// <summary>Who recorded something, and with what it was made: what the log wants to know beyond the thing itself.</summary>
/// <param name="Who">The API key's name, or <c>local</c>.</param>
/// <param name="Versions">Pipeline, model, OpenCV and so on.</param>
public sealed record Recording(string Who, EntryVersions Versions)
{
    public string? Why { get; init; }

    public string? Delivery { get; init; }

    public string? Piece { get; init; }
}

/// <summary>A measurement as the log keeps it: whole, with the request as received, so that the log alone is proof.</summary>
internal static class MeasurementEntry
{
    public static LogEntry Append(DbTransaction transaction, StoredMeasurement measurement, IdempotencyKey? key, Recording recording)
    {
        using var answer = JsonDocument.Parse(measurement.MeasurementJson);
        var (ruleBook, version) = Book(answer.RootElement);
        return LogWriter.Append(transaction, new LogEntryDraft
        {
            Kind = LogKind.Measurement,
            Who = recording.Who,
            At = measurement.CreatedUtc,
            Why = recording.Why,
            Versions = recording.Versions with { RuleBook = ruleBook is null ? null : $"{ruleBook} {version}" },
            Subjects = new EntrySubjects { Delivery = recording.Delivery, Piece = recording.Piece, Measurement = measurement.Id, RuleBook = ruleBook },
            Key = key?.ToEntry(),
            PhotoSha256 = measurement.PhotoSha256,
            PictureSha256 = measurement.PictureSha256,
            Body = new
            {
                Request = measurement.RequestJson,
                Measurement = answer.RootElement,
                // Of the answer byte for byte: canonical JSON may write the same numbers differently.
                AnswerSha256 = LogHash.Compute(Encoding.UTF8.GetBytes(measurement.MeasurementJson)),
                measurement.PictureType,
                CreatedUtc = measurement.CreatedUtc.ToRecord(),
            },
        });
    }

    private static (string? Id, int Version) Book(JsonElement measurement) => measurement.TryGetProperty("verdict", out var verdict)
        && verdict.TryGetProperty("ruleBook", out var id) && verdict.TryGetProperty("ruleBookVersion", out var version)
            ? (id.GetString(), version.GetInt32()) : (null, 0);
}
