using System.Net;
using System.Text;
using System.Text.Json.Nodes;
using Microsoft.Data.Sqlite;

namespace GrainVision.Service.Tests.Log;

/// <summary>Somebody edits the database under a service: its verification names the row, and a rule book that is not the one on the log is never judged by.</summary>
public sealed class RecordsAttackTests
{
    [Fact]
    public async Task PieceEdited_IsNamedByTheVerification()
    {
        await using var service = new RunningService();
        using var client = service.CreateClient();
        using var entered = await client.PostAsync("/v1/deliveries", Json("""
            {"supplier":"An invented mill","orderNumber":"17","species":"white-spruce","ruleBooks":["spar"],"pieces":[{"number":1,"nominalQuarters":8,"widthIn":6,"lengthFt":8,"moisturePercent":14.5}]}
            """));
        Assert.Equal(HttpStatusCode.Created, entered.StatusCode);
        using (var whole = await client.GetAsync("/v1/log/verification"))
            Assert.True((await whole.Json()).GetProperty("isWhole").GetBoolean());
        Tamper(service.Folder, "UPDATE pieces SET piece_json = replace(piece_json, '14.5', '11.5')");
        using var answer = await client.GetAsync("/v1/log/verification");
        var problem = (await answer.Json()).GetProperty("problem");
        Assert.Equal(
            ("record-changed", "pieces", "piece_json"), (problem.GetProperty("code").GetString(), problem.GetProperty("table").GetString(), problem.GetProperty("column").GetString()));
        Assert.Contains("14.5", problem.GetProperty("expected").GetString(), StringComparison.Ordinal);
        Assert.Contains("11.5", problem.GetProperty("found").GetString(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("UPDATE rule_books SET rule_book_json = replace(rule_book_json, 'Our own order', 'A laxer order')")]
    [InlineData("DELETE FROM rule_books")]
    [InlineData("INSERT INTO rule_books SELECT id, 3, created_utc, created_by, replace(rule_book_json, '\"version\":2', '\"version\":3') FROM rule_books")]
    public async Task RuleBookReplaced_TheServiceDoesNotStart(string sql)
    {
        await using var service = new RunningService();
        using var client = service.CreateClient();
        using var read = await client.GetAsync("/v1/rule-books/shop-order");
        var book = JsonNode.Parse(await read.Content.ReadAsStringAsync())!.AsObject();
        (book["version"], book["title"]) = (2, "Our own order");
        using var put = await client.PutAsync("/v1/rule-books/shop-order", Json(book.ToJsonString()));
        Assert.Equal(HttpStatusCode.OK, put.StatusCode);
        await service.End();
        Tamper(service.Folder, sql);
        var ended = await ServiceProcess.Run("GrainVision.Service.dll", ["--urls", "http://127.0.0.1:0", "--GrainVision:Records:Folder=" + service.Folder]);
        Assert.Equal(78, ended.ExitCode);
        Assert.Contains("rule-book-not-on-log", ended.Errors, StringComparison.Ordinal);
        Assert.Contains("shop-order", ended.Errors, StringComparison.Ordinal);
    }

    private static StringContent Json(string json) => new(json, Encoding.UTF8, "application/json");

    /// <summary>As who can write to the file does it: the triggers that stop slips are dropped first.</summary>
    private static void Tamper(string folder, string sql)
    {
        using var connection = new SqliteConnection($"Data Source={Path.Combine(folder, "records.sqlite")};Pooling=False");
        connection.Open();
        using var command = connection.CreateCommand();
#pragma warning disable CA2100 // the tests' own words
        command.CommandText = "DROP TRIGGER IF EXISTS rule_books_are_not_edited; DROP TRIGGER IF EXISTS rule_books_are_not_deleted; " + sql;
#pragma warning restore CA2100
        command.ExecuteNonQuery();
    }
}
