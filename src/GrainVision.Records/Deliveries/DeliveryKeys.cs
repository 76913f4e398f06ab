using System.Data.Common;
using Dapper;
using GrainVision.Records.Measurements;

namespace GrainVision.Records.Deliveries;

/// <summary>Idempotency keys of requests that create deliveries and jobs.</summary>
internal static class DeliveryKeys
{
    public static bool TryTake(DbTransaction transaction, IdempotencyKey key, string answerId) => transaction.Connection!.Execute(
        "INSERT INTO delivery_keys (client, key, content_sha256, answer_id) VALUES (@Client, @Key, @ContentSha256, @answerId) ON CONFLICT (client, key) DO NOTHING;",
        new { key.Client, key.Key, key.ContentSha256, answerId }, transaction) == 1;

    public static string? Find(DbConnection connection, IdempotencyKey key, out bool sameContent)
    {
        var taken = connection.QueryFirstOrDefault<TakenKey>(
            "SELECT answer_id AS AnswerId, content_sha256 AS ContentSha256 FROM delivery_keys WHERE client = @Client AND key = @Key;", new { key.Client, key.Key });
        sameContent = taken?.ContentSha256 == key.ContentSha256;
        return taken?.AnswerId;
    }

    private sealed record TakenKey(string AnswerId, string ContentSha256);
}
