using System.Diagnostics;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Verdicts;
using GrainVision.Records.Decisions;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Records.Opening;
using GrainVision.Records.Schema;
using GrainVision.Records.Verification;
using Microsoft.Data.Sqlite;

namespace GrainVision.Benchmarks;

/// <summary>
/// The log at a million entries: append rate one by one (a commit each, on disk) and in batches, search by each filter, verification rate, memory. Entries are decisions
/// of about 1.6 KB; the mix of species, uses and verdicts is invented, one piece in 20 has a second decision.
/// </summary>
internal static class LogBenchmark
{
    /// <summary>1,000: entries of one transaction while the log is filled.</summary>
    private const int Batch = 1_000;

    /// <summary>300: searches of each filter; their 95th percentile is told.</summary>
    private const int Searches = 300;

    /// <summary>50 ms: 95 of 100 searches answer within it (the target of the record).</summary>
    private const double SearchTargetMs = 50;

    /// <summary>30 MB: growth of the working set, from a tenth of the entries on, that counts as flat: the database's own page caches.</summary>
    private const double FlatWithinMb = 30;

    private static readonly DateTimeOffset Start = new(2024, 1, 1, 8, 0, 0, TimeSpan.Zero);

    private static readonly string[] Species = ["sitka-spruce", "red-spruce", "douglas-fir", "white-ash", "noble-fir"];

    private static readonly string[] Uses = ["spar", "cap-strip", "longeron-and-small-parts", "shop-order"];

    private static readonly string[] Limits = ["rings-per-inch", "slope-of-grain", "edge-grain", "knot", "boxed-pith", "faces-shown", "both-ends-shown"];

    public static int Run(int entries)
    {
        var folder = Directory.CreateTempSubdirectory("grainvision-log-benchmark-").FullName;
        try
        {
            var met = Run(RecordsOpener.Open(Path.Combine(folder, "records.sqlite")), entries);
            Console.WriteLine($"file {new DirectoryInfo(folder).EnumerateFiles().Sum(f => f.Length) / 1e6:0} MB, {new DirectoryInfo(folder).EnumerateFiles().Sum(f => f.Length) / (double)entries:0} bytes an entry");
            Console.WriteLine(met ? "targets met" : "TARGETS MISSED");
            return met ? 0 : 1;
        }
        finally
        {
            SqliteConnection.ClearAllPools();
            Directory.Delete(folder, recursive: true);
        }
    }

    private static bool Run(RecordsDatabase database, int entries)
    {
        var clock = Stopwatch.StartNew();
        var early = 0.0;
        for (var i = 0; i < entries; i += Batch)
        {
            using var writing = database.Write();
            for (var k = i; k < Math.Min(entries, i + Batch); k++)
                Add(writing.Transaction, k);
            writing.Commit();
            if (early == 0 && i + Batch >= entries / 10)
                early = WorkingSetMb();
        }

        Console.WriteLine($"append, {Batch} a transaction: {entries / clock.Elapsed.TotalSeconds:0} entries/s ({clock.Elapsed.TotalSeconds:0} s)   {Memory()}");
        const int singles = 200;
        clock.Restart();
        for (var k = entries; k < entries + singles; k++)
        {
            using var writing = database.Write();
            Add(writing.Transaction, k);
            writing.Commit();
        }

        Console.WriteLine($"append, one a transaction, each on disk: {singles / clock.Elapsed.TotalSeconds:0} entries/s");
        var slowest = Search(database, entries);
        clock.Restart();
        var verifier = new LogVerifier();
        foreach (var entry in new LogReader(database).Range(1, long.MaxValue))
        {
            using var shown = ShownEntry.From(entry);
            if (!verifier.Add(shown))
                break;
        }

        var found = verifier.Finish();
        Console.WriteLine($"verify the chain: {found.Entries / clock.Elapsed.TotalSeconds:0} entries/s, whole: {found.IsWhole}   {Memory()}");
        clock.Restart();
        var kept = DatabaseVerifier.Verify(database, null, null, CancellationToken.None);
        Console.WriteLine($"verify the database, search columns too: {kept.Entries / clock.Elapsed.TotalSeconds:0} entries/s, whole: {kept.IsWhole}   {Memory()}");
        var grown = WorkingSetMb() - early;
        Console.WriteLine($"slowest search p95 {slowest:0.0} ms (target {SearchTargetMs:0}); working set grew by {grown:0} MB from a tenth of the entries to the end (flat: {FlatWithinMb:0})");
        return slowest < SearchTargetMs && grown < FlatWithinMb && found.IsWhole && kept.IsWhole;
    }

    /// <summary>The slowest filter's 95th percentile, ms.</summary>
    private static double Search(RecordsDatabase database, int entries)
    {
        var store = new DecisionStore(database);
        var random = new Random(1);
        var slowest = 0.0;
        foreach (var (name, filter) in new (string, Func<DecisionFilter>)[]
        {
            ("delivery", () => new DecisionFilter { Delivery = $"d-{random.Next(entries) / 400}" }),
            ("piece", () => new DecisionFilter { Piece = $"p-{random.Next(entries)}" }),
            ("species", () => new DecisionFilter { Species = Species[random.Next(Species.Length)] }),
            ("use", () => new DecisionFilter { Use = Uses[random.Next(Uses.Length)] }),
            ("verdict", () => new DecisionFilter { Verdict = new[] { "accept", "hold", "reject" }[random.Next(3)] }),
            ("person", () => new DecisionFilter { Person = $"person {random.Next(12)}" }),
            ("rule", () => new DecisionFilter { LimitId = Limits[random.Next(Limits.Length)] }),
            ("date", () => new DecisionFilter { From = Start.AddMinutes(random.Next(entries)), To = Start.AddMinutes(entries) }),
            ("nothing found", () => new DecisionFilter { Person = "nobody" }),
            ("rule + species + verdict", () => new DecisionFilter { LimitId = Limits[random.Next(Limits.Length)], Species = Species[random.Next(Species.Length)], Verdict = "reject" }),
            ("delivery + verdict", () => new DecisionFilter { Delivery = $"d-{random.Next(entries) / 400}", Verdict = "reject" }),
            ("piece + person", () => new DecisionFilter { Piece = $"p-{random.Next(entries)}", Person = $"person {random.Next(12)}" }),
            ("person + verdict, none", () => new DecisionFilter { Person = "person 0", Verdict = "hold" }),
            ("rule + species, none", () => new DecisionFilter { LimitId = "boxed-pith", Species = "no-such-species" }),
            ("use + person + date", () => new DecisionFilter { Use = Uses[random.Next(Uses.Length)], Person = $"person {random.Next(12)}", To = Start.AddMinutes(random.Next(entries)) }),
        })
        {
            var times = new double[Searches];
            for (var i = 0; i < Searches; i++)
            {
                var (wanted, before, start) = (filter(), (long?)(i % 2 == 0 ? null : random.Next(1, entries)), Stopwatch.GetTimestamp());
                store.Page(wanted, before, 50);
                times[i] = Stopwatch.GetElapsedTime(start).TotalMilliseconds;
            }

            Array.Sort(times);
            slowest = Math.Max(slowest, times[Searches * 95 / 100]);
            Console.WriteLine($"search by {name,-26} median {times[Searches / 2],7:0.00} ms, p95 {times[Searches * 95 / 100],7:0.00} ms, worst {times[^1],7:0.00} ms");
        }

        return slowest;
    }

    private static double WorkingSetMb() => Environment.WorkingSet / 1e6;

    private static string Memory() => $"[working set {Environment.WorkingSet / 1e6:0} MB, managed {GC.GetTotalMemory(forceFullCollection: true) / 1e6:0} MB]";

    private static void Add(SqliteTransaction transaction, int k)
    {
        var outcome = (VerdictOutcome)(k % 3);
        var piece = $"p-{(k % 20 == 19 ? k - 1 : k)}";
        var use = Uses[(k % 20 == 19 ? k - 1 : k) % Uses.Length];
        Reason Reason(int n) => new(Limits[n % Limits.Length], outcome, "Worst inch 7.4 rings/in (7.1 to 7.8) against at least 6 for sitka-spruce: met.", "ANC-19 (1943), 2.413, 2.22 and Table 2-13 (read)", "worstInch");
        var decision = new Decision
        {
            Id = $"c-{k}", Piece = piece, Delivery = $"d-{k / 400}", Species = Species[k % Species.Length], RuleBook = use, RuleBookVersion = 1, Use = "as the book says",
            Verdict = outcome, ByRule = outcome, DecidedBy = DecidedBy.Rule, Person = $"person {k % 12}", Override = false, Supersedes = k % 20 == 19 ? $"c-{k - 1}" : null,
            Evidence = [new DecisionEvidence($"m-{k}", LogHash.Compute(BitConverter.GetBytes(k)))], HandMeasurements = [],
            Reasons = [new EvidenceReason($"m-{k}", Reason(k)), new EvidenceReason($"m-{k}", Reason(k + 3))],
            HandChecks = ["Look for compression failures with a strong light along the piece."], Cautions = ["Never a finding of airworthiness."],
        };
        var added = DecisionStore.Add(transaction, piece, [], new Recording("benchmark", EntryVersions.None), Start.AddMinutes(k), null, _ => decision);
        if (added.Refusal is { } refusal)
            throw new InvalidOperationException(refusal.Message);
    }
}
