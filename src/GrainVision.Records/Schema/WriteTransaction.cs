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
    private bool _disposed;

    /// <param name="turn">Taken by the caller; given back here.</param>
    /// <param name="connect">Opens the records.</param>
    internal WriteTransaction(SemaphoreSlim turn, Func<SqliteConnection> connect)
    {
        _turn = turn;
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

    /// <summary>Commits, gives the turn back, and only then starts what was waiting for the commit.</summary>
    public Task CommitThen(Func<Task> start)
    {
        ArgumentNullException.ThrowIfNull(start);
        Commit();
        Dispose();
        return start();
    }

    public void Dispose()
    {
        if (_disposed)
            return;
        _disposed = true;
        Transaction.Dispose();
        _connection.Dispose();
        _turn.Release();
    }
}
