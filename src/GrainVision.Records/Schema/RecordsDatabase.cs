using System.Globalization;
using GrainVision.Records.Deliveries;
using GrainVision.Records.Log;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Schema;

/// <summary>
/// The SQLite file that holds the records. Readers never wait for the writer (write-ahead log), and a commit that returned has
/// reached the disk (synchronous=FULL): an answer given is an answer kept.
/// </summary>
#pragma warning disable CA1001 // the semaphore's wait handle is never asked for, so there is nothing to dispose
public sealed class RecordsDatabase
#pragma warning restore CA1001
{
    /// <summary>5,000 ms: a commit takes a few ms; who waits longer meets a disk that is failing.</summary>
    private const int BusyTimeoutMs = 5_000;

    /// <summary>19: SQLITE_CONSTRAINT, a row of that key is there already.</summary>
    internal const int ConstraintViolated = 19;

    /// <summary>One step per version of the schema, oldest first. Never edit a step that was released: add one.</summary>
    private static readonly string[] Steps =
    [
        """
        CREATE TABLE measurements (
            id              TEXT PRIMARY KEY,
            created_utc     TEXT NOT NULL,
            photo_sha256    TEXT NOT NULL,
            picture_sha256  TEXT NOT NULL,
            picture_type    TEXT NOT NULL,
            request_json    TEXT NOT NULL,
            measurement_json TEXT NOT NULL
        ) STRICT;
        CREATE INDEX measurements_by_photo ON measurements (photo_sha256);
        CREATE TABLE idempotency_keys (
            client          TEXT NOT NULL,
            key             TEXT NOT NULL,
            content_sha256  TEXT NOT NULL,
            measurement_id  TEXT NOT NULL REFERENCES measurements (id),
            PRIMARY KEY (client, key)
        ) STRICT;
        CREATE TABLE rule_books (
            id              TEXT NOT NULL,
            version         INTEGER NOT NULL,
            created_utc     TEXT NOT NULL,
            created_by      TEXT NOT NULL,
            rule_book_json  TEXT NOT NULL,
            PRIMARY KEY (id, version)
        ) STRICT;
        """,
        DeliverySchema.Step,
        LogSchema.Step,
        LogSchema.SearchStep,
        DeliverySchema.CardsStep,
    ];

    private readonly string _connectionString;

    private readonly SemaphoreSlim _turn = new(1);

    private RecordsDatabase(string connectionString) => _connectionString = connectionString;

    /// <summary>Opens the file, makes it where missing, and brings an older schema up to date.</summary>
    /// <exception cref="InvalidDataException">The file was written by a newer version of the program.</exception>
    public static RecordsDatabase Open(string file)
    {
        ArgumentException.ThrowIfNullOrEmpty(file);
        Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(file))!);
        var database = new RecordsDatabase(new SqliteConnectionStringBuilder { DataSource = file, ForeignKeys = true }.ToString());
        database.Upgrade();
        return database;
    }

    /// <summary>A connection set up as this file needs it; the caller disposes it.</summary>
    public SqliteConnection Connect()
    {
        var connection = new SqliteConnection(_connectionString);
        connection.Open();
        using var pragmas = connection.CreateCommand();
        pragmas.CommandText = string.Create(
            CultureInfo.InvariantCulture, $"PRAGMA busy_timeout={BusyTimeoutMs}; PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;");
        pragmas.ExecuteNonQuery();
        return connection;
    }

    /// <summary>Begins writing when it is this caller's turn; the caller commits and disposes it. Never take a second one while holding one.</summary>
    public WriteTransaction Write() => new(_turn, Connect);

    /// <summary>Throws where the file cannot be written to.</summary>
    public void CheckWritable()
    {
        using var connection = Connect();
        using var transaction = connection.BeginTransaction(deferred: false);
        transaction.Rollback();
    }

    private void Upgrade()
    {
        using var connection = Connect();
        using var transaction = connection.BeginTransaction(deferred: false);
        using var ask = connection.CreateCommand();
        ask.CommandText = "PRAGMA user_version;";
        var version = Convert.ToInt32(ask.ExecuteScalar(), CultureInfo.InvariantCulture);
        var hadLog = version > Array.IndexOf(Steps, LogSchema.Step);
        if (version > Steps.Length)
            throw new InvalidDataException($"The records are of schema {version}; this program knows up to {Steps.Length}. Use the newer program.");
        for (var step = version; step < Steps.Length; step++)
        {
            using var apply = connection.CreateCommand();
#pragma warning disable CA2100 // the text is one of the constants above
            apply.CommandText = Steps[step] + string.Create(CultureInfo.InvariantCulture, $"PRAGMA user_version={step + 1};");
#pragma warning restore CA2100
            apply.ExecuteNonQuery();
        }

        if (!hadLog)
            OlderRecords.Enter(transaction);
        transaction.Commit();
    }
}
