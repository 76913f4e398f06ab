using System.Globalization;
using System.Text.Json;
using GrainVision.Records.Log;
using GrainVision.Records.Schema;
using Microsoft.Data.Sqlite;
using Row = System.Collections.Generic.Dictionary<string, object?>;

namespace GrainVision.Records.Projection;

/// <summary>Works out from the entries of the log, one after the other, which rows the tables hold.</summary>
internal sealed class LogProjection(SqliteTransaction transaction) : IDisposable
{
    private readonly ScratchTables _tables = new(transaction);

    /// <summary>Takes the next entry.</summary>
    /// <param name="number">Its number.</param>
    /// <param name="content">Its content, canonical JSON.</param>
    public void Add(long number, JsonElement content)
    {
        var body = content.GetProperty("body");
        var kind = content.GetProperty("kind").GetString();
        switch (kind)
        {
            case LogKind.Delivery:
                AddDelivery(number, content, body);
                break;
            case LogKind.Upload:
                AddUpload(number, content, body);
                break;
            case LogKind.CardAssignment or LogKind.PhotoState when body.TryGetProperty("photo", out var photo):
                AddPhoto(number, photo);
                break;
            case LogKind.CardAssignment:
                AddPlace(number, content, body);
                break;
            case LogKind.RuleBookVersion when Text(content, "why") != EntryReasons.WithTheProgram:
                AddRuleBook(number, content, body);
                break;
            case LogKind.Inventory:
                AddInventory(number, body);
                break;
        }

        if (content.TryGetProperty("key", out var key))
            AddKey(number, kind!, content.GetProperty("subjects"), body, key);
    }

    /// <summary>Takes the rows away again, in a transaction that is kept.</summary>
    public void Drop() => _tables.Drop();

    /// <summary>An entry's time as the tables write it.</summary>
    public static string TimeOf(JsonElement content) =>
        DateTimeOffset.ParseExact(content.GetProperty("at").GetString()!, LogWriter.TimeFormat, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal).ToRecord();

    public void Dispose() => _tables.Dispose();

    private void AddDelivery(long number, JsonElement content, JsonElement body)
    {
        var id = Text(content.GetProperty("subjects"), "delivery");
        Put(ProjectedTables.Deliveries, number, new Row
        {
            ["id"] = id, ["created_utc"] = Text(body, "createdUtc") ?? TimeOf(content), ["created_by"] = Text(content, "who"), ["delivery_json"] = body.GetProperty("delivery").GetRawText(),
            ["scale_json"] = Text(body, "scale"), ["finished_count"] = 0L,
        });
        foreach (var piece in body.GetProperty("pieces").EnumerateArray())
        {
            Put(ProjectedTables.Pieces, number, new Row
            {
                ["id"] = Text(piece, "id"), ["delivery_id"] = id, ["number"] = piece.GetProperty("number").GetInt64(), ["piece_json"] = piece.GetRawText(),
            });
        }
    }

    private void AddUpload(long number, JsonElement content, JsonElement body)
    {
        var (delivery, job) = (Text(content.GetProperty("subjects"), "delivery"), Text(body, "job"));
        Put(ProjectedTables.Jobs, number, new Row { ["id"] = job, ["delivery_id"] = delivery, ["created_utc"] = Text(body, "createdUtc"), ["created_by"] = Text(content, "who") });
        foreach (var photo in body.GetProperty("photos").EnumerateArray())
        {
            AddPhoto(number, photo);
            Put(ProjectedTables.JobPhotos, number, new Row { ["job_id"] = job, ["sha256"] = Text(photo, "sha256"), ["delivery_id"] = delivery });
        }
    }

    private void AddPhoto(long number, JsonElement photo)
    {
        var row = ProjectedTables.Photos.Read(photo);
        Put(ProjectedTables.Photos, number, row);
        if (row["finished_no"] is long turn)
            _tables.CountTurn(row["delivery_id"]!, turn);
    }

    /// <summary>A placement of an older version, which did not say the rest of the photo.</summary>
    private void AddPlace(long number, JsonElement content, JsonElement body)
    {
        var place = body.GetProperty("place");
        Put(ProjectedTables.Photos, number, new Row
        {
            ["delivery_id"] = Text(content.GetProperty("subjects"), "delivery"), ["sha256"] = Text(content, "photoSha256"), ["place_json"] = place.GetRawText(),
            ["piece_number"] = place.GetProperty("pieceNumber").GetInt64(), ["surface"] = Text(place, "surface"), ["sorted_by"] = Text(body, "by"), ["needs_place"] = 0L,
            ["file_name"] = Text(body, "fileName"), ["arrived_utc"] = TimeOf(content), ["sent_by"] = Text(content, "who"),
        });
    }

    private void AddRuleBook(long number, JsonElement content, JsonElement body) => Put(ProjectedTables.RuleBooks, number, new Row
    {
        ["id"] = Text(content.GetProperty("subjects"), "ruleBook"), ["version"] = body.GetProperty("version").GetInt64(), ["created_utc"] = Text(body, "createdUtc") ?? TimeOf(content),
        ["created_by"] = Text(content, "who"), ["rule_book_json"] = body.GetProperty("ruleBook").GetRawText(),
    });

    /// <summary>What it does not say an entry before said, and that stands; flags are said where they are 1.</summary>
    private void AddInventory(long number, JsonElement body)
    {
        foreach (var table in ProjectedTables.All)
        {
            if (!body.TryGetProperty(table.Name, out var rows))
                continue;
            foreach (var said in rows.EnumerateArray())
            {
                var row = table.Read(said);
                foreach (var column in table.Facts.Where(c => c.Kind != ColumnKind.Flag && !said.TryGetProperty(c.Inside ?? c.Member, out _)))
                    row.Remove(column.Name);
                Put(table, number, row);
            }
        }
    }

    private void AddKey(long number, string kind, JsonElement subjects, JsonElement body, JsonElement key)
    {
        var row = new Row { ["client"] = Text(key, "client"), ["key"] = Text(key, "key"), ["content_sha256"] = Text(key, "contentSha256") };
        switch (kind)
        {
            case LogKind.Measurement:
                Put(ProjectedTables.MeasurementKeys, number, new Row(row) { ["measurement_id"] = Text(subjects, "measurement") });
                break;
            case LogKind.Delivery:
                Put(ProjectedTables.DeliveryKeys, number, new Row(row) { ["answer_id"] = Text(subjects, "delivery") });
                break;
            case LogKind.Upload:
                Put(ProjectedTables.DeliveryKeys, number, new Row(row) { ["answer_id"] = Text(body, "job") });
                break;
            case LogKind.Decision or LogKind.Override:
                Put(ProjectedTables.DecisionKeys, number, new Row(row) { ["decision"] = Text(subjects, "decision") });
                break;
            case LogKind.HandMeasurement:
                Put(ProjectedTables.FindingKeys, number, new Row(row) { ["first_number"] = key.GetProperty("first").GetInt64(), ["last_number"] = number });
                break;
        }
    }

    private void Put(ProjectedTable table, long number, Row row) => _tables.Put(table, number, row);

    private static string? Text(JsonElement element, string member) => element.TryGetProperty(member, out var value) ? value.GetString() : null;
}
