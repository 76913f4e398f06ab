using GrainVision.Grading.Refusals;
using GrainVision.Grading.Rules;
using GrainVision.Records.RuleBooks;
using GrainVision.Service.Guard;
using GrainVision.Service.Http;

namespace GrainVision.Service.RuleBooks;

/// <summary>The embedded rule books and those that the shop added, always at their newest version.</summary>
internal sealed class RuleBookCatalog
{
    private readonly RuleBookStore _store;
    private readonly Lock _changing = new();
    private volatile RuleBookSet _books;

    public RuleBookCatalog(RuleBookStore store, TimeProvider time)
    {
        _store = store;
        var own = new List<RuleBook>();
        if (!store.All().TryGet(out var onLog, out var refusal))
            throw new StartRefusedException($"{refusal.Code}: {refusal.Message} {refusal.Advice}");
        foreach (var stored in onLog)
        {
            own.Add(RuleBookReader.Read(stored.RuleBookJson).TryGet(out var book, out var unreadable)
                ? book
                : throw new InvalidDataException($"Rule book {stored.Id} version {stored.Version} in the records: {unreadable.Message}"));
        }

        var books = RuleBookSet.Embedded.WithOwn(own);
        var embedded = RuleBookSet.Embedded.Latest.Where(b => books.TryGet(b.Id, b.Version, out var standing) && ReferenceEquals(standing, b));
        store.Enter(embedded.Select(b => new StoredRuleBook(b.Id, b.Version, time.GetUtcNow(), Caller.Local, RuleBookReader.Write(b))));
        _books = books;
    }

    public RuleBookSet Books => _books;

    /// <summary>Adds a new version for good.</summary>
    public Outcome<RuleBook> Add(RuleBook book, string by, DateTimeOffset now)
    {
        lock (_changing)
        {
            if (!_books.With(book).TryGet(out var more, out var refusal))
                return refusal;
            _store.TryAdd(new StoredRuleBook(book.Id, book.Version, now, by, RuleBookReader.Write(book)));
            _books = more;
            return book;
        }
    }
}
