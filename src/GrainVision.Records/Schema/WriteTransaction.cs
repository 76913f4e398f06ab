using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Schema;

/// <summary>
/// The one write transaction of this process at a time. SQLite lets one writer in and lets the others poll: on a slow disk a busy caller can
/// starve another for half a minute. Queuing here lets each have its turn. Disposed without <see cref="Commit"/> it is rolled back.
/// </summary>
public sealed class WriteTransaction : IDisposable
{
    private readonly SemaphoreSlim _turn;
    private readonly SqliteConnection _connection;

    internal WriteTransaction(SemaphoreSlim turn, Func<SqliteConnection> connect)
    {
        _turn = turn;
        turn.Wait();
        try
        {
            _connection = connect();
            Transaction = _connection.BeginTransaction(deferred: false);
        }
        catch
        {
            _connection?.Dispose();
            turn.Release();
            throw;
        }
    }

    /// <summary>Immediate: the head of the log does not move while it is open.</summary>
    public SqliteTransaction Transaction { get; }

    /// <summary>On return everything written has reached the disk.</summary>
    public void Commit() => Transaction.Commit();

    public void Dispose()
    {
        Transaction.Dispose();
        _connection.Dispose();
        _turn.Release();
    }
}
