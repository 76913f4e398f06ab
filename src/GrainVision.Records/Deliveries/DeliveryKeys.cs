using GrainVision.Records.Measurements;
using GrainVision.Records.Schema;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Deliveries;

/// <summary>Idempotency keys of requests that create deliveries and jobs.</summary>
internal static class DeliveryKeys
{
    public static bool TryTake(SqliteTransaction transaction, IdempotencyKey key, string answerId) => transaction.Execute(
        "INSERT OR IGNORE INTO delivery_keys (client, key, content_sha256, answer_id) VALUES ($client, $key, $content, $id);",
        ("$client", key.Client), ("$key", key.Key), ("$content", key.ContentSha256), ("$id", answerId)) == 1;

    public static string? Find(SqliteConnection connection, IdempotencyKey key, out bool sameContent)
    {
        var found = connection.Query(
            "SELECT answer_id, content_sha256 FROM delivery_keys WHERE client = $client AND key = $key;",
            r => (Id: r.GetString(0), Content: r.GetString(1)), ("$client", key.Client), ("$key", key.Key)).FirstOrDefault();
        sameContent = found.Content == key.ContentSha256;
        return found.Id;
    }
}
