using System.Diagnostics.CodeAnalysis;
using System.Reflection;
using GrainVision.Grading.Refusals;

namespace GrainVision.Grading.Rules;

/// <summary>A set of rule books by id and version. It never changes; <see cref="With"/> gives a new one.</summary>
public sealed class RuleBookSet
{
    private const string SchemaName = "rule-book.schema.json";

    private static readonly Lazy<RuleBookSet> EmbeddedBooks = new(() => new RuleBookSet(ReadEmbedded()));

    private static readonly Lazy<string> EmbeddedSchema = new(() => Text(SchemaName));

    private readonly Dictionary<(string Id, int Version), RuleBook> _byVersion;

    private RuleBookSet(IEnumerable<RuleBook> books)
    {
        _byVersion = books.ToDictionary(b => (b.Id, b.Version));
        Latest = [.. _byVersion.Values.GroupBy(b => b.Id, StringComparer.Ordinal).Select(g => g.MaxBy(b => b.Version)!).OrderBy(b => b.Id, StringComparer.Ordinal)];
    }

    /// <summary>The books that come with the program.</summary>
    public static RuleBookSet Embedded => EmbeddedBooks.Value;

    /// <summary>JSON Schema (draft 2020-12) of a rule book.</summary>
    public static string Schema => EmbeddedSchema.Value;

    /// <summary>The newest version of every book, by id.</summary>
    public IReadOnlyList<RuleBook> Latest { get; }

    /// <summary>The newest version of a book.</summary>
    public bool TryGet(string id, [NotNullWhen(true)] out RuleBook? book)
    {
        book = Latest.FirstOrDefault(b => string.Equals(b.Id, id, StringComparison.Ordinal));
        return book is not null;
    }

    /// <summary>One version of a book.</summary>
    public bool TryGet(string id, int version, [NotNullWhen(true)] out RuleBook? book) => _byVersion.TryGetValue((id, version), out book);

    /// <summary>The newest version of a book, or a refusal that lists what there is: code <c>rule-book-unknown</c>.</summary>
    public Outcome<RuleBook> Find(string id) => TryGet(id, out var book)
        ? book
        : RefusalCatalog.RuleBookUnknown.Because("There is no rule book of that id.", $"Use one of: {string.Join(", ", Latest.Select(b => b.Id))}.");

    /// <summary>The set with one book more; a version already on it is refused (<c>rule-book-version-taken</c>), since limits in force are never edited.</summary>
    public Outcome<RuleBookSet> With(RuleBook book)
    {
        ArgumentNullException.ThrowIfNull(book);
        if (TryGet(book.Id, out var newest) && book.Version <= newest.Version)
        {
            return RefusalCatalog.RuleBookVersionTaken.Because($"Version {newest.Version} of {book.Id} is in the catalogue already; versions only go up.", $"Send it as version {newest.Version + 1}.");
        }

        return new RuleBookSet(_byVersion.Values.Append(book));
    }

    /// <summary>
    /// The set with the shop's own books as they are on record. Where a newer program brings a version that the shop has given out already, the
    /// shop's stands: decisions rest on it.
    /// </summary>
    public RuleBookSet WithOwn(IReadOnlyCollection<RuleBook> own)
    {
        ArgumentNullException.ThrowIfNull(own);
        var taken = own.Select(b => (b.Id, b.Version)).ToHashSet();
        return new RuleBookSet(_byVersion.Values.Where(b => !taken.Contains((b.Id, b.Version))).Concat(own));
    }

    private static IEnumerable<RuleBook> ReadEmbedded()
    {
        foreach (var name in Assembly.GetExecutingAssembly().GetManifestResourceNames().Where(n => n.StartsWith("books/", StringComparison.Ordinal)))
        {
            yield return RuleBookReader.Read(Text(name)).TryGet(out var book, out var refusal)
                ? book
                : throw new InvalidOperationException($"Embedded {name}: {refusal.Message}");
        }
    }

    private static string Text(string name)
    {
        using var stream = Assembly.GetExecutingAssembly().GetManifestResourceStream(name)
            ?? throw new InvalidOperationException($"{name} is not embedded.");
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}
