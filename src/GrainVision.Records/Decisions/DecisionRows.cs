using System.Data.Common;
using System.Globalization;
using System.Text.Json;
using Dapper;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Verdicts;
using GrainVision.Records.Log;
using GrainVision.Records.Schema;

namespace GrainVision.Records.Decisions;

/// <summary>The rows by which decisions are found. What a decision says stands in the log alone.</summary>
internal static class DecisionRows
{
    /// <summary>Columns of <see cref="Row"/>, of decisions as <c>d</c> with their entries as <c>l</c> and what superseded them as <c>s</c>.</summary>
    public const string Columns = $"{LogReader.Columns}, s.id AS SupersededBy";

    public const string Tables = "decisions d JOIN log l ON l.number = d.number LEFT JOIN decisions s ON s.supersedes = d.id";

    /// <summary>The limits that a decision rests on: those as grave as its verdict by the rule.</summary>
    public static IEnumerable<string> LimitsOf(Decision decision) => decision.Reasons.Where(r => r.Reason.Outcome == decision.ByRule).Select(r => r.Reason.LimitId).Distinct();

    /// <summary>A verdict as the contract spells it.</summary>
    public static string Word(VerdictOutcome verdict) => JsonNamingPolicy.KebabCaseLower.ConvertName(verdict.ToString());

    public static void Insert(DbTransaction transaction, long number, Decision decision)
    {
        var verdict = Word(decision.Verdict);
        transaction.Connection!.Execute(
            """
            INSERT INTO decisions (number, id, piece, rule_book, verdict, person, delivery, species, supersedes)
            VALUES (@number, @Id, @Piece, @RuleBook, @verdict, @Person, @Delivery, @Species, @Supersedes);
            """,
            NamedValues.From(new { number, decision.Id, decision.Piece, decision.RuleBook, verdict, decision.Person, decision.Delivery, decision.Species, decision.Supersedes }),
            transaction);
        transaction.Connection!.Execute(
            "INSERT INTO decision_limits (limit_id, number, person, species, rule_book, verdict) VALUES (@limit, @number, @Person, @Species, @RuleBook, @verdict);",
            LimitsOf(decision).Select(limit => NamedValues.From(new { limit, number, decision.Person, decision.Species, decision.RuleBook, verdict })), transaction);
    }

    /// <summary>A page of decisions, newest first.</summary>
    /// <remarks>
    /// SQLite cannot know which filter is the narrow one (a piece has a few decisions, a delivery hundreds, a verdict hundreds of thousands), so the search walks the index of the
    /// first filter in that order, which holds the columns of those after it; a plus keeps SQLite off the other indexes. Rows are only read for the page itself.
    /// </remarks>
    public static IReadOnlyList<StoredDecision> Page(DbConnection connection, DecisionFilter filter, long? before, int most)
    {
        var rows = new RowFilter();
        rows.Add("n.number < @before", "before", before ?? long.MaxValue);
        var byLimit = filter is { LimitId: not null, Piece: null, Delivery: null };
        (string Column, string? Value)[] columns =
        [
            ("piece", filter.Piece), ("delivery", filter.Delivery), ("limit_id", byLimit ? filter.LimitId : null), ("person", filter.Person), ("species", filter.Species),
            ("rule_book", filter.Use), ("verdict", filter.Verdict),
        ];
        var plus = "";
        foreach (var (column, value) in columns)
        {
            rows.Add($"{plus}n.{column} = @{column}", column, value);
            plus = plus.Length > 0 || value is not null ? "+" : "";
        }

        if (!byLimit)
            rows.Add("EXISTS (SELECT 1 FROM decision_limits r WHERE r.limit_id = @limit_id AND r.number = n.number)", "limit_id", filter.LimitId);
        rows.Add("n.number >= @from", "from", TimeRange.FirstSince(connection, filter.From));
        rows.Add("n.number < @to", "to", TimeRange.FirstSince(connection, filter.To));
        rows.Values.Add("most", most);
        var found = connection.Query<Row>(
            $"""
            SELECT {Columns} FROM {Tables}
            WHERE d.number IN (SELECT n.number FROM {(byLimit ? "decision_limits" : "decisions")} n {rows.Where} ORDER BY n.number DESC LIMIT @most)
            ORDER BY d.number DESC;
            """,
            rows.Values);
        return [.. found.Select(r => r.ToStored())];
    }

    /// <summary>Decisions oldest first, each with its time and whether it stands.</summary>
    public static IReadOnlyList<DecisionOnRecord> History(DbConnection connection, string where, object values) =>
        [.. connection.Query<Row>($"SELECT {Columns} FROM {Tables} WHERE {where} ORDER BY d.number;", values).Select(r => r.ToOnRecord())];

    /// <summary>A decision's entry and what took its place.</summary>
    public sealed record Row(long Number, string PreviousSha256, string ContentSha256, string Sha256, string Content, string? SupersededBy)
    {
        public DecisionOnRecord ToOnRecord()
        {
            using var content = JsonDocument.Parse(Content);
            var at = DateTimeOffset.ParseExact(content.RootElement.GetProperty("at").GetString()!, LogWriter.TimeFormat, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal);
            var decision = content.RootElement.GetProperty("body").Deserialize<Decision>(ContractJson.Options)!;
            return new DecisionOnRecord(
                decision.Id, decision.Piece, decision.RuleBook, decision.RuleBookVersion, decision.Verdict, decision.ByRule, decision.DecidedBy, decision.Person, at, decision.Override,
                decision.Reason, SupersededBy);
        }

        public StoredDecision ToStored() => new(new LogEntry(Number, PreviousSha256, ContentSha256, Sha256, Content), SupersededBy);
    }
}
