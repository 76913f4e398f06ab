using System.Data;
using System.Data.Common;
using System.Globalization;
using Dapper;
using DbUp;
using DbUp.Engine;
using DbUp.Sqlite.Helpers;
using Microsoft.Data.Sqlite;

namespace GrainVision.Records.Schema;

/// <summary>
/// The steps of the schema, oldest first: SQL files beside this one and two steps in code. DbUp applies those that the table
/// <c>schema_steps</c> does not name, all in one immediate transaction.
/// </summary>
internal static class SchemaSteps
{
    private const string Journal = "schema_steps";

    /// <summary>A step in code: what was recorded before there was a log is entered into it.</summary>
    private const string OlderRecords = "004-older-records";

    /// <summary>A step in code: rows that were kept beside the log are entered into it, so that all of them follow from it.</summary>
    private const string Inventory = "010-inventory";

    /// <summary>5: user_version from which the journal counts. Below it, it is the number of steps applied by a program that had no journal.</summary>
    private const int WithJournal = 5;

    private static readonly string[] SqlSteps = ["001-measurements", "002-deliveries", "003-log", "005-search", "006-journal", "007-cards", "008-findings", "009-facts"];

    /// <summary>Last step that was applied at user_version 1, 2, 3 and 4.</summary>
    private static readonly string[] LastBeforeJournal = ["001-measurements", "002-deliveries", OlderRecords, "005-search"];

    /// <summary>Brings the database to the last step.</summary>
    /// <param name="connection">Open, without a transaction.</param>
    /// <param name="enterOlderRecords">The step in code of what is older than the log.</param>
    /// <param name="enterInventory">The step in code of what stood beside the log.</param>
    /// <exception cref="InvalidDataException">A newer program wrote the database.</exception>
    public static void Apply(SqliteConnection connection, Action<DbTransaction> enterOlderRecords, Action<DbTransaction> enterInventory)
    {
        var version = connection.ExecuteScalar<int>("PRAGMA user_version;");
        if (version > WithJournal)
            throw new InvalidDataException(string.Create(CultureInfo.InvariantCulture, $"The records are of schema {version}; this program knows up to {WithJournal}. Use the newer program."));
        using var shared = new SharedConnection(connection);
        var engine = DeployChanges.To.SqliteDatabase(shared).JournalToSqliteTable(Journal).WithTransaction().WithVariablesDisabled().LogToNowhere()
            .WithScripts(SqlSteps.Select(name => new SqlScript(name, Read(name))))
            .WithScript(OlderRecords, new CodeStep(enterOlderRecords))
            .WithScript(Inventory, new CodeStep(enterInventory))
            .Build();
        if (version is > 0 and < WithJournal)
            Succeed(engine.MarkAsExecuted(LastBeforeJournal[version - 1]));
        if (engine.GetExecutedButNotDiscoveredScripts() is [var unknown, ..])
            throw new InvalidDataException($"The records have the schema step {unknown}, which this program does not know. Use the newer program.");
        Succeed(engine.PerformUpgrade());
    }

    private static void Succeed(DatabaseUpgradeResult result)
    {
        if (!result.Successful)
            throw new InvalidOperationException($"The schema step {result.ErrorScript?.Name ?? "list"} failed; nothing was changed.", result.Error);
    }

    private static string Read(string step)
    {
        using var stream = typeof(SchemaSteps).Assembly.GetManifestResourceStream($"{step}.sql")!;
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }

    private sealed class CodeStep(Action<DbTransaction> run) : IScript
    {
        public string ProvideScript(Func<IDbCommand> dbCommandFactory)
        {
            using var command = dbCommandFactory();
            run((DbTransaction)command.Transaction!);
            return ""; // all is done
        }
    }
}
