namespace GrainVision.Records.Projection;

/// <summary>
/// The tables that follow from the log row by row. Measurements, decisions and findings follow from it too, each from one entry: those are held against it
/// while the log is read. Of photos <c>in_hand</c> and <c>deaths</c> are left out: notes of the process at work, which can at worst make a photo wait or be
/// set aside, and that is an entry then.
/// </summary>
internal static class ProjectedTables
{
    public static ProjectedTable Deliveries { get; } = new(
        "deliveries", [new("id", "id")],
        [
            new("created_utc", "createdUtc"), new("created_by", "createdBy"), new("delivery_json", "delivery", ColumnKind.Json), new("scale_json", "scale"),
            new("finished_count", "finishedCount", ColumnKind.Integer),
        ]);

    public static ProjectedTable Pieces { get; } = new(
        "pieces", [new("id", "id")], [new("delivery_id", "delivery"), new("number", "number", ColumnKind.Integer), new("piece_json", "piece", ColumnKind.Json)]);

    public static ProjectedTable Jobs { get; } = new("jobs", [new("id", "id")], [new("delivery_id", "delivery"), new("created_utc", "createdUtc"), new("created_by", "createdBy")]);

    public static ProjectedTable Photos { get; } = new(
        "delivery_photos", [new("delivery_id", "delivery"), new("sha256", "sha256")],
        [
            new("file_name", "fileName"), new("arrived_utc", "arrivedUtc"), new("sent_by", "sentBy"), new("manifest_json", "manifest", ColumnKind.Json),
            new("place_json", "place", ColumnKind.Json), new("piece_number", "pieceNumber", ColumnKind.Integer, "place"), new("surface", "surface", Inside: "place"),
            new("sorted_by", "sortedBy"), new("reason_json", "problem", ColumnKind.Json), new("needs_place", "needsPlace", ColumnKind.Flag),
            new("measurement_id", "measurement"), new("angle_low", "angleLowDeg", ColumnKind.Real), new("angle_high", "angleHighDeg", ColumnKind.Real),
            new("used_angle", "usedAngleDeg", ColumnKind.Real), new("finished_no", "finishedNo", ColumnKind.Integer), new("cards_json", "cards", ColumnKind.Json),
        ]);

    public static ProjectedTable JobPhotos { get; } = new("job_photos", [new("job_id", "job"), new("sha256", "sha256")], [new("delivery_id", "delivery")]);

    public static ProjectedTable RuleBooks { get; } = new(
        "rule_books", [new("id", "id"), new("version", "version", ColumnKind.Integer)],
        [new("created_utc", "createdUtc"), new("created_by", "createdBy"), new("rule_book_json", "ruleBook", ColumnKind.Json)]);

    public static ProjectedTable MeasurementKeys { get; } = Keys("idempotency_keys", new ProjectedColumn("measurement_id", "answer"));

    public static ProjectedTable DeliveryKeys { get; } = Keys("delivery_keys", new ProjectedColumn("answer_id", "answer"));

    public static ProjectedTable DecisionKeys { get; } = Keys("decision_keys", new ProjectedColumn("decision", "answer"));

    public static ProjectedTable FindingKeys { get; } = Keys(
        "finding_keys", new ProjectedColumn("first_number", "first", ColumnKind.Integer), new ProjectedColumn("last_number", "last", ColumnKind.Integer));

    /// <summary>All of them, each after those that it names.</summary>
    public static IReadOnlyList<ProjectedTable> All { get; } = [Deliveries, Pieces, Jobs, Photos, JobPhotos, RuleBooks, MeasurementKeys, DeliveryKeys, DecisionKeys, FindingKeys];

    private static ProjectedTable Keys(string name, params IReadOnlyList<ProjectedColumn> answer) =>
        new(name, [new("client", "client"), new("key", "key")], [new("content_sha256", "contentSha256"), .. answer]);
}
