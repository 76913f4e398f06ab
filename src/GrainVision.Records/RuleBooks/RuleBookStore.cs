using System.Globalization;
using System.Text.Json;
using GrainVision.Records.Log;
using GrainVision.Records.Schema;
using Microsoft.Data.Sqlite;

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
    internal const string Columns = "id, version, created_utc, created_by, rule_book_json";

    /// <summary>Adds one version of a rule book and its log entry; false where that version is there already.</summary>
    public bool TryAdd(StoredRuleBook book)
    {
        ArgumentNullException.ThrowIfNull(book);
        using var writing = database.Write();
        var transaction = writing.Transaction;
        using var add = transaction.Connection!.CreateCommand();
        add.Transaction = transaction;
        add.CommandText = $"INSERT INTO rule_books ({Columns}) VALUES ($id, $version, $created, $by, $json);";
        add.Parameters.AddWithValue("$id", book.Id);
        add.Parameters.AddWithValue("$version", book.Version);
        add.Parameters.AddWithValue("$created", book.CreatedUtc.ToString("O", CultureInfo.InvariantCulture));
        add.Parameters.AddWithValue("$by", book.CreatedBy);
        add.Parameters.AddWithValue("$json", book.RuleBookJson);
        try
        {
            add.ExecuteNonQuery();
        }
        catch (SqliteException e) when (e.SqliteErrorCode == RecordsDatabase.ConstraintViolated)
        {
            return false;
        }

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
                Append(transaction, book, "Comes with the program.");
        }

        writing.Commit();
    }

    /// <summary>Every version of every rule book added, by id and version.</summary>
    public IReadOnlyList<StoredRuleBook> All()
    {
        using var connection = database.Connect();
        using var find = connection.CreateCommand();
        find.CommandText = $"SELECT {Columns} FROM rule_books ORDER BY id, version;";
        using var row = find.ExecuteReader();
        var books = new List<StoredRuleBook>();
        while (row.Read())
            books.Add(Read(row));
        return books;
    }

    internal static StoredRuleBook Read(SqliteDataReader row) => new(
        row.GetString(0), row.GetInt32(1), DateTimeOffset.ParseExact(row.GetString(2), "O", CultureInfo.InvariantCulture), row.GetString(3), row.GetString(4));

    private static bool IsInLog(SqliteTransaction transaction, StoredRuleBook book)
    {
        using var find = transaction.Connection!.CreateCommand();
        find.Transaction = transaction;
        find.CommandText = """
            SELECT 1 FROM log WHERE rule_book = $id AND kind = $kind
            AND content ->> '$.body.sha256' = $sha256 AND content ->> '$.body.version' = $version LIMIT 1;
            """;
        find.Parameters.AddWithValue("$id", book.Id);
        find.Parameters.AddWithValue("$kind", LogKind.RuleBookVersion);
        find.Parameters.AddWithValue("$sha256", book.Sha256);
        find.Parameters.AddWithValue("$version", book.Version);
        return find.ExecuteScalar() is not null;
    }

    internal static void Append(SqliteTransaction transaction, StoredRuleBook book, string? why)
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
            Body = new { book.Version, book.Sha256, RuleBook = json.RootElement },
        });
    }
}
