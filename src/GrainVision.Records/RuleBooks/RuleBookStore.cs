using System.Data.Common;
using System.Text.Json;
using Dapper;
using GrainVision.Grading.Refusals;
using GrainVision.Records.Log;
using GrainVision.Records.Schema;

namespace GrainVision.Records.RuleBooks;

/// <summary>A rule book that the shop added, as it was sent.</summary>
public sealed record StoredRuleBook(string Id, int Version, DateTimeOffset CreatedUtc, string CreatedBy, string RuleBookJson)
{
    /// <summary>Of the book's canonical JSON.</summary>
    public string Sha256 => LogHash.Compute(CanonicalJson.From(RuleBookJson));
}

/// <summary>The shop's own rule books, every version of them: a verdict of last year names the version it used.</summary>
public sealed class RuleBookStore(RecordsDatabase database)
{
    private const string Columns = "id AS Id, version AS Version, created_utc AS CreatedUtc, created_by AS CreatedBy, rule_book_json AS RuleBookJson";

    /// <summary>Adds one version of a rule book and its log entry; false where that version is there already.</summary>
    public bool TryAdd(StoredRuleBook book)
    {
        ArgumentNullException.ThrowIfNull(book);
        using var writing = database.Write();
        var transaction = writing.Transaction;
        var added = transaction.Connection!.Execute(
            """
            INSERT INTO rule_books (id, version, created_utc, created_by, rule_book_json) VALUES (@Id, @Version, @created, @CreatedBy, @RuleBookJson)
            ON CONFLICT (id, version) DO NOTHING;
            """,
            new { book.Id, book.Version, created = book.CreatedUtc.ToRecord(), book.CreatedBy, book.RuleBookJson }, transaction);
        if (added == 0)
            return false;
        Append(transaction, book, null);
        writing.Commit();
        return true;
    }

    /// <summary>Enters books that come with the program into the log, where this version of them is not in it yet: limits in force are on record before they are used.</summary>
    public void Enter(IEnumerable<StoredRuleBook> books)
    {
        ArgumentNullException.ThrowIfNull(books);
        using var writing = database.Write();
        var transaction = writing.Transaction;
        foreach (var book in books)
        {
            if (!IsInLog(transaction, book))
                Append(transaction, book, EntryReasons.WithTheProgram);
        }

        writing.Commit();
    }

    /// <summary>Every version of every rule book added, by id and version, where all of them are those of the log; refused (<c>rule-book-not-on-log</c>) otherwise.</summary>
    public Outcome<IReadOnlyList<StoredRuleBook>> All()
    {
        using var connection = database.Connect();
        using var transaction = connection.BeginTransaction(deferred: true); // books and log of one moment
        List<StoredRuleBook> books = [.. connection.Query<Row>($"SELECT {Columns} FROM rule_books ORDER BY id, version;", null, transaction).Select(r => r.ToStored())];
        return RuleBookLog.Problem(transaction, books) is { } problem ? problem : Outcome<IReadOnlyList<StoredRuleBook>>.ToOutcome(books);
    }

    /// <summary>Every version of every rule book added, the oldest first.</summary>
    internal static IReadOnlyList<StoredRuleBook> ByAge(DbTransaction transaction) =>
        [.. transaction.Connection!.Query<Row>($"SELECT {Columns} FROM rule_books ORDER BY created_utc, id, version;", null, transaction).Select(r => r.ToStored())];

    private static bool IsInLog(DbTransaction transaction, StoredRuleBook book) => transaction.Connection!.ExecuteScalar<bool>(
        """
        SELECT EXISTS (SELECT 1 FROM log WHERE rule_book = @Id AND kind = @kind
            AND content ->> '$.body.sha256' = @Sha256 AND content ->> '$.body.version' = @Version);
        """,
        new { book.Id, kind = LogKind.RuleBookVersion, book.Sha256, book.Version }, transaction);

    internal static void Append(DbTransaction transaction, StoredRuleBook book, string? why)
    {
        using var json = JsonDocument.Parse(book.RuleBookJson);
        LogWriter.Append(transaction, new LogEntryDraft
        {
            Kind = LogKind.RuleBookVersion,
            Who = book.CreatedBy,
            At = book.CreatedUtc,
            Why = why,
            Versions = new EntryVersions { RuleBook = $"{book.Id} {book.Version}" },
            Subjects = new EntrySubjects { RuleBook = book.Id },
            Body = new { book.Version, book.Sha256, RuleBook = json.RootElement, CreatedUtc = book.CreatedUtc.ToRecord() },
        });
    }

    private sealed record Row(string Id, long Version, string CreatedUtc, string CreatedBy, string RuleBookJson)
    {
        public StoredRuleBook ToStored() => new(Id, (int)Version, RecordTime.Parse(CreatedUtc), CreatedBy, RuleBookJson);
    }
}
