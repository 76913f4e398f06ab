using System.Globalization;
using System.Text;
using System.Text.Json;
using GrainVision.Grading.ByHand;
using GrainVision.Grading.Findings;
using GrainVision.Records.Log;
using GrainVision.Records.Schema;

namespace GrainVision.Records.Verification;

/// <summary>Holds the rows of one entry against it, entry by entry: its search columns, its measurement, its decision, its finding.</summary>
internal sealed class EntryRows(DecisionIndexVerifier limits)
{
    private string _previousAt = "";

    /// <summary>What differs from the next entry, or null; of decisions' limits it may be one of an entry before.</summary>
    public LogProblem? Problem(RecordedEntry row, JsonElement content)
    {
        foreach (var (column, path, value) in row.SearchColumns())
        {
            if (At(content, path) is var says && says != value)
                return row.Problem(LogProblemCode.SearchColumnChanged, $"The search column '{column}' of entry {row.Number} was changed.", says, value, "log", $"{row.Number}", column);
        }

        var body = content.GetProperty("body");
        var problem = row.Kind switch
        {
            LogKind.Measurement => Measurement(row, content, body),
            LogKind.Decision or LogKind.Override => Decision(row, body),
            LogKind.HandMeasurement => Finding(row, body),
            _ => null,
        };
        _previousAt = row.AtUtc!;
        return problem;
    }

    private LogProblem? Measurement(RecordedEntry row, JsonElement content, JsonElement body)
    {
        const string Table = "measurements";
        if (row.MeasurementJson is not { } answer)
            return row.Problem(LogProblemCode.RecordMissing, $"The measurement of entry {row.Number} is missing from the records.", row.Measurement, null, Table, row.Measurement);
        var (says, hash) = (At(body, "answerSha256"), LogHash.Compute(Encoding.UTF8.GetBytes(answer)));
        // The answer byte for byte, or, where records were rebuilt and the bytes were lost, as the log writes the same.
        if (says != hash && answer != body.GetProperty("measurement").GetRawText())
            return Changed("answer", "measurement_json", says, hash);
        (string What, string Column, string? Says, string? Found)[] all =
        [
            ("request", "request_json", At(body, "request"), row.RequestJson), ("photo", "photo_sha256", At(content, "photoSha256"), row.PhotoSha256),
            ("picture", "picture_sha256", At(content, "pictureSha256"), row.PictureSha256), ("picture's type", "picture_type", At(body, "pictureType"), row.PictureType),
        ];
        foreach (var (what, column, logged, found) in all)
        {
            if (logged != found)
                return Changed(what, column, logged, found);
        }

        return IsTime(At(body, "createdUtc"), row) ? null : Changed("time", "created_utc", At(body, "createdUtc") ?? row.AtUtc, row.CreatedUtc);

        LogProblem Changed(string what, string column, string? logged, string? found) => row.Problem(
            LogProblemCode.RecordChanged, $"The recorded {what} of measurement {row.Measurement} (entry {row.Number}) was changed.", logged, found, Table, row.Measurement, column);
    }

    /// <summary>
    /// True where a row's time is the entry's. Older versions entered it to the millisecond, and not at all where the clock had been set back: then the entry took
    /// the time of the one before.
    /// </summary>
    private bool IsTime(string? says, RecordedEntry row)
    {
        if (says is not null)
            return says == row.CreatedUtc;
        if (row.CreatedUtc is null || !RecordTime.TryParse(row.CreatedUtc, out var recorded))
            return false;
        var toMs = recorded.ToUniversalTime().ToString(LogWriter.TimeFormat, CultureInfo.InvariantCulture);
        return toMs == row.AtUtc || (row.AtUtc == _previousAt && string.CompareOrdinal(toMs, _previousAt) < 0);
    }

    private LogProblem? Decision(RecordedEntry row, JsonElement body)
    {
        foreach (var (member, value) in row.DecisionColumns())
        {
            if (At(body, member) is var says && says != value)
                return row.Problem(LogProblemCode.SearchColumnChanged, $"The '{member}' by which the decision of entry {row.Number} is found was changed.", says, value, "decisions", row.Decision, member);
        }

        return limits.Add(row.Number, body);
    }

    private static LogProblem? Finding(RecordedEntry row, JsonElement body)
    {
        var finding = body.Deserialize<HandFinding>(ContractJson.Options)!;
        (string What, string? Says, string? Found)[] all =
        [
            ("piece", row.Piece, row.FindingPiece), ("kind", EnumWords.Write(finding.Kind), row.FindingKind),
            ("corrects", finding.Corrects?.ToString(CultureInfo.InvariantCulture), row.FindingCorrects?.ToString(CultureInfo.InvariantCulture)),
        ];
        foreach (var (what, says, found) in row.Piece is null ? [] : all)
        {
            if (says != found)
                return row.Problem(LogProblemCode.SearchColumnChanged, $"The '{what}' by which the finding of entry {row.Number} is found was changed.", says, found, "findings", $"{row.Number}", what);
        }

        return null;
    }

    private static string? At(JsonElement element, params ReadOnlySpan<string> path)
    {
        foreach (var member in path)
        {
            if (!element.TryGetProperty(member, out element))
                return null;
        }

        return element.GetString();
    }
}
