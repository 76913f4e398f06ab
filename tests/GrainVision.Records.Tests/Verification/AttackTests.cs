using GrainVision.Records.Log;

namespace GrainVision.Records.Tests.Verification;

/// <summary>
/// The log is the only truth: whatever somebody edits, deletes or puts in beside it, in the database, verifying names table, row and column, with what the log says.
/// Each attack is one that answered "whole" when rows were not held against the log (issue 15).
/// </summary>
public sealed class AttackTests : IAsyncLifetime, IDisposable
{
    private readonly TemporaryRecords _records = new();

    public Task InitializeAsync() => WorkedRecords.Fill(_records);

    public Task DisposeAsync() => Task.CompletedTask;

    public void Dispose() => _records.Dispose();

    [Fact]
    public void Untouched_IsWhole()
    {
        var found = _records.Verify();
        Assert.True(found.IsWhole, $"{found.Problem}");
        Assert.Equal(_records.Log().Head()!.Number, found.Head);
    }

    [Theory]
    [InlineData("a piece's moisture", "UPDATE pieces SET piece_json = replace(piece_json, '14.5', '11.5') WHERE id = 'piece-2'", "pieces", "piece-2", "piece_json")]
    [InlineData("a piece's weight", "UPDATE pieces SET piece_json = replace(piece_json, '\"weightLb\":20', '\"weightLb\":30') WHERE id = 'piece-1'", "pieces", "piece-1", "piece_json")]
    [InlineData("a piece's length", "UPDATE pieces SET piece_json = replace(piece_json, '\"lengthFt\":8', '\"lengthFt\":9') WHERE id = 'piece-1'", "pieces", "piece-1", "piece_json")]
    [InlineData("a piece's delivery", "UPDATE pieces SET delivery_id = 'delivery-2', number = 9 WHERE id = 'piece-1'", "pieces", "piece-1", "delivery_id")]
    [InlineData("the supplier", "UPDATE deliveries SET delivery_json = replace(delivery_json, 'invented', 'other') WHERE id = 'delivery-2'", "deliveries", "delivery-2", "delivery_json")]
    [InlineData("when it was delivered", "UPDATE deliveries SET created_utc = '2020-07-04T12:00:00.0000000+00:00' WHERE id = 'delivery-1'", "deliveries", "delivery-1", "created_utc")]
    [InlineData("the scale of a delivery", "UPDATE deliveries SET scale_json = '{}' WHERE id = 'delivery-1'", "deliveries", "delivery-1", "scale_json")]
    [InlineData("where a photo belongs", "UPDATE delivery_photos SET place_json = replace(place_json, '\"pieceNumber\":1', '\"pieceNumber\":2') WHERE file_name = 'face.jpg'", "delivery_photos", "face", "place_json")]
    [InlineData("the piece a photo is found by", "UPDATE delivery_photos SET piece_number = 2 WHERE file_name = 'measured.jpg'", "delivery_photos", "measured", "piece_number")]
    [InlineData("the surface a photo is found by", "UPDATE delivery_photos SET surface = 'endB' WHERE file_name = 'measured.jpg'", "delivery_photos", "measured", "surface")]
    [InlineData("who sorted a photo", "UPDATE delivery_photos SET sorted_by = 'person' WHERE file_name = 'measured.jpg'", "delivery_photos", "measured", "sorted_by")]
    [InlineData("a set-aside taken back", "UPDATE delivery_photos SET reason_json = NULL, finished_no = NULL WHERE file_name = 'aside.jpg'", "delivery_photos", "aside", "reason_json")]
    [InlineData("a photo set aside", "UPDATE delivery_photos SET reason_json = '{}' WHERE file_name = 'waiting.jpg'", "delivery_photos", "waiting", "reason_json")]
    [InlineData("an unsorted photo set aside", "UPDATE delivery_photos SET needs_place = 0 WHERE file_name = 'unsorted.jpg'", "delivery_photos", "unsorted", "needs_place")]
    [InlineData("a measurement given to another photo", "UPDATE delivery_photos SET measurement_id = 'm2' WHERE file_name = 'measured.jpg'", "delivery_photos", "measured", "measurement_id")]
    [InlineData("a photo without its measurement", "UPDATE delivery_photos SET measurement_id = NULL WHERE file_name = 'measured.jpg'", "delivery_photos", "measured", "measurement_id")]
    [InlineData("an end's ring angle", "UPDATE delivery_photos SET angle_low = 1 WHERE file_name = 'measured.jpg'", "delivery_photos", "measured", "angle_low")]
    [InlineData("cards found in a photo", "UPDATE delivery_photos SET cards_json = '{\"found\":[2]}' WHERE file_name = 'face.jpg'", "delivery_photos", "face", "cards_json")]
    [InlineData("what the manifest said", "UPDATE delivery_photos SET manifest_json = replace(manifest_json, '300.5', '30.5') WHERE file_name = 'waiting.jpg'", "delivery_photos", "waiting", "manifest_json")]
    [InlineData("a photo's name", "UPDATE delivery_photos SET file_name = 'other.jpg' WHERE file_name = 'waiting.jpg'", "delivery_photos", "waiting", "file_name")]
    [InlineData("who sent a photo", "UPDATE delivery_photos SET sent_by = 'other' WHERE file_name = 'waiting.jpg'", "delivery_photos", "waiting", "sent_by")]
    [InlineData("whose job it was", "UPDATE jobs SET created_by = 'other'", "jobs", "job-1", "created_by")]
    [InlineData("a rule book replaced", "UPDATE rule_books SET rule_book_json = replace(rule_book_json, '1.25', '9.25') WHERE version = 2", "rule_books", "rib 2", "rule_book_json")]
    [InlineData("who put a rule book in force", "UPDATE rule_books SET created_by = 'other' WHERE version = 1", "rule_books", "rib 1", "created_by")]
    [InlineData("a measurement's key repointed", "UPDATE idempotency_keys SET measurement_id = 'm2' WHERE key = 'measure m1'", "idempotency_keys", "yard measure m1", "measurement_id")]
    [InlineData("a delivery's key repointed", "UPDATE delivery_keys SET answer_id = 'delivery-2' WHERE key = 'deliver delivery-1'", "delivery_keys", "yard deliver delivery-1", "answer_id")]
    [InlineData("a decision's key repointed", "UPDATE decision_keys SET decision = 'c2' WHERE key = 'decide c1'", "decision_keys", "yard decide c1", "decision")]
    [InlineData("a finding's key repointed", "UPDATE finding_keys SET last_number = first_number", "finding_keys", "yard enter findings", "last_number")]
    [InlineData("a key for other content", "UPDATE decision_keys SET content_sha256 = 'x' WHERE key = 'decide c1'", "decision_keys", "yard decide c1", "content_sha256")]
    [InlineData("when it was measured", "UPDATE measurements SET created_utc = '2020-07-04T12:00:00.0000000+00:00' WHERE id = 'm1'", "measurements", "m1", "created_utc")]
    [InlineData("a picture's type", "UPDATE measurements SET picture_type = 'text/html' WHERE id = 'm1'", "measurements", "m1", "picture_type")]
    [InlineData("a measured answer", "UPDATE measurements SET measurement_json = '{}' WHERE id = 'm1'", "measurements", "m1", "measurement_json")]
    public void Edited(string what, string sql, string table, string row, string column) => Attack(what, sql, LogProblemCode.RecordChanged, table, row, column);

    [Theory]
    [InlineData("a delivery deleted", "DELETE FROM deliveries WHERE id = 'delivery-2'", "deliveries", "delivery-2")]
    [InlineData("a piece deleted", "DELETE FROM pieces WHERE id = 'piece-2'", "pieces", "piece-2")]
    [InlineData("all of a delivery deleted", "DELETE FROM deliveries WHERE id = 'delivery-1'; DELETE FROM pieces; DELETE FROM delivery_photos; DELETE FROM job_photos; DELETE FROM jobs", "deliveries", "delivery-1")]
    [InlineData("a photo deleted", "DELETE FROM delivery_photos WHERE file_name = 'measured.jpg'", "delivery_photos", "measured")]
    [InlineData("a photo given to another delivery", "UPDATE delivery_photos SET delivery_id = 'delivery-2' WHERE file_name = 'waiting.jpg'", "delivery_photos", "waiting")]
    [InlineData("a job deleted", "DELETE FROM jobs", "jobs", "job-1")]
    [InlineData("a photo taken out of its job", "DELETE FROM job_photos WHERE sha256 = (SELECT sha256 FROM delivery_photos WHERE file_name = 'aside.jpg')", "job_photos", "aside")]
    [InlineData("a rule book's newest version deleted", "DELETE FROM rule_books WHERE version = 2", "rule_books", "rib 2")]
    [InlineData("a key deleted", "DELETE FROM idempotency_keys WHERE key = 'measure m1'", "idempotency_keys", "yard measure m1")]
    [InlineData("a measurement deleted", "DELETE FROM measurements WHERE id = 'm2'", "measurements", "m2")]
    public void Deleted(string what, string sql, string table, string row) => Attack(what, sql, LogProblemCode.RecordMissing, table, row, null);

    [Theory]
    [InlineData("a delivery put in", "INSERT INTO deliveries SELECT 'delivery-9', created_utc, created_by, delivery_json, scale_json, 0 FROM deliveries LIMIT 1", "deliveries", "delivery-9")]
    [InlineData("a piece put in", "INSERT INTO pieces SELECT 'piece-9', delivery_id, 9, piece_json FROM pieces LIMIT 1", "pieces", "piece-9")]
    [InlineData("a photo put in", "INSERT INTO delivery_photos (delivery_id, sha256, file_name, arrived_utc, sent_by) SELECT 'delivery-1', 'f', file_name, arrived_utc, sent_by FROM delivery_photos LIMIT 1", "delivery_photos", "delivery-1 f")]
    [InlineData("a rule book put in", "INSERT INTO rule_books SELECT id, 3, created_utc, created_by, rule_book_json FROM rule_books LIMIT 1", "rule_books", "rib 3")]
    [InlineData("a key put in", "INSERT INTO decision_keys VALUES ('yard', 'new', 'x', 'c1')", "decision_keys", "yard new")]
    [InlineData("a measurement put in", "INSERT INTO measurements SELECT 'm9', created_utc, photo_sha256, picture_sha256, picture_type, request_json, measurement_json FROM measurements LIMIT 1", "measurements", "m9")]
    public void PutIn(string what, string sql, string table, string row) => Attack(what, sql, LogProblemCode.RecordNotInLog, table, row, null);

    /// <summary>Notes of the process at work, no facts: what they can bring about is that a photo waits, is measured anew, or is set aside with an entry.</summary>
    [Theory]
    [InlineData("UPDATE delivery_photos SET in_hand = 1, deaths = 2")]
    public void NotesOfTheProcess_AreNoFacts(string sql)
    {
        _records.Tamper(sql);
        Assert.True(_records.Verify().IsWhole);
    }

    private void Attack(string what, string sql, LogProblemCode code, string table, string row, string? column)
    {
        _records.Tamper(sql);
        var problem = _records.Verify().Problem;
        Assert.True(problem is not null, $"Nobody noticed: {what}.");
        Assert.Equal(code, problem.Code);
        foreach (var state in WorkedRecords.States)
            row = row == state ? $"delivery-1 {WorkedRecords.PhotoOf(state)}" : row;
        Assert.Equal((table, table == "job_photos" ? row.Replace("delivery-1", "job-1", StringComparison.Ordinal) : row, column), (problem.Table, problem.Row, problem.Column));
        Assert.NotEqual(problem.Expected, problem.Found);
        Assert.InRange(problem.Number, 1, _records.Log().Head()!.Number);
    }
}
