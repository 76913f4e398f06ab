using System.Globalization;
using GrainVision.Records.Schema;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.RuleBooks;

/// <summary>A rule book that the shop added, as it was sent.</summary>
public sealed record StoredRuleBook(string Id, int Version, DateTimeOffset CreatedUtc, string CreatedBy, string RuleBookJson);

/// <summary>The shop's own rule books, every version of them: a verdict of last year names the version it used.</summary>
public sealed class RuleBookStore(RecordsDatabase database)
{
    private const string Columns = "id, version, created_utc, created_by, rule_book_json";

    /// <summary>Adds one version of a rule book; false where that version is there already.</summary>
    public bool TryAdd(StoredRuleBook book)
    {
        ArgumentNullException.ThrowIfNull(book);
        using var connection = database.Connect();
        using var add = connection.CreateCommand();
        add.CommandText = $"INSERT INTO rule_books ({Columns}) VALUES ($id, $version, $created, $by, $json);";
        add.Parameters.AddWithValue("$id", book.Id);
        add.Parameters.AddWithValue("$version", book.Version);
        add.Parameters.AddWithValue("$created", book.CreatedUtc.ToString("O", CultureInfo.InvariantCulture));
        add.Parameters.AddWithValue("$by", book.CreatedBy);
        add.Parameters.AddWithValue("$json", book.RuleBookJson);
        try
        {
            add.ExecuteNonQuery();
            return true;
        }
        catch (SqliteException e) when (e.SqliteErrorCode == RecordsDatabase.ConstraintViolated)
        {
            return false;
        }
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
        {
            var created = DateTimeOffset.ParseExact(row.GetString(2), "O", CultureInfo.InvariantCulture);
            books.Add(new StoredRuleBook(row.GetString(0), row.GetInt32(1), created, row.GetString(3), row.GetString(4)));
        }

        return books;
    }
}
