using System.Data.Common;
using Dapper;
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
    /// <summary>Busy timeout 5,000 ms: a commit takes a few ms; who waits longer meets a disk that is failing.</summary>
    private const string Pragmas = "PRAGMA busy_timeout=5000; PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;";

    private readonly string _connectionString;

    private readonly SemaphoreSlim _turn = new(1);

    private RecordsDatabase(string connectionString) => _connectionString = connectionString;

    /// <summary>Opens the file, makes it where missing, and brings an older schema up to date.</summary>
    /// <param name="file">The SQLite file.</param>
    /// <param name="enterOlderRecords">Enters into the log what was recorded before there was one; called once in the life of a file.</param>
    /// <param name="enterInventory">Enters into the log the rows that were kept beside it; called once in the life of a file.</param>
    /// <exception cref="InvalidDataException">The file was written by a newer version of the program.</exception>
    internal static RecordsDatabase Open(string file, Action<DbTransaction> enterOlderRecords, Action<DbTransaction> enterInventory)
    {
        ArgumentException.ThrowIfNullOrEmpty(file);
        Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(file))!);
        var database = new RecordsDatabase(new SqliteConnectionStringBuilder { DataSource = file, ForeignKeys = true }.ToString());
        using var connection = database.Connect();
        SchemaSteps.Apply(connection, enterOlderRecords, enterInventory);
        return database;
    }

    /// <summary>A connection set up as this file needs it; the caller disposes it.</summary>
    public SqliteConnection Connect()
    {
        var connection = new SqliteConnection(_connectionString);
        connection.Open();
        connection.Execute(Pragmas);
        return connection;
    }

    /// <summary>Begins writing when it is this caller's turn; the caller commits and disposes it. Never take a second one while holding one.</summary>
    public WriteTransaction Write()
    {
        _turn.Wait();
        return new WriteTransaction(_turn, Connect);
    }

    /// <summary>The same for a caller that does not hold a thread while it waits.</summary>
    public async Task<WriteTransaction> WriteAsync()
    {
        await _turn.WaitAsync();
        return new WriteTransaction(_turn, Connect);
    }

    /// <summary>Throws where the file cannot be written to within the busy timeout; it does not queue behind a writer that hangs.</summary>
    public void CheckWritable()
    {
        using var connection = Connect();
        using var transaction = connection.BeginTransaction(deferred: false);
        transaction.Rollback();
    }
}
