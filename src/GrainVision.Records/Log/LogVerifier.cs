using System.Runtime.InteropServices;
using System.Text;
using System.Text.Json;

namespace GrainVision.Records.Log;

/// <summary>What is wrong with a log, at the first place where it shows.</summary>
/// <param name="Number">The entry that is bad, or that is missing.</param>
/// <param name="Line">Line of the export, from 1; 0 where no line shows it.</param>
/// <param name="What">One sentence for a person.</param>
/// <param name="Expected">What should stand there.</param>
/// <param name="Found">What stands there.</param>
public sealed record LogProblem(long Number, long Line, string What, string? Expected = null, string? Found = null);

/// <summary>What verifying found.</summary>
/// <param name="Entries">Entries that were checked in full.</param>
/// <param name="Withheld">Entries of which only the place in the chain was shown.</param>
/// <param name="First">Number of the first entry; 0 where there is none.</param>
/// <param name="Head">Number of the last good entry; 0 where there is none.</param>
/// <param name="HeadSha256">Its hash.</param>
/// <param name="Photos">Photos and pictures whose hash was checked.</param>
/// <param name="Checkpoints">Checkpoints that the log agrees with.</param>
/// <param name="Problem">The first bad entry; null where all is well.</param>
public sealed record LogVerification(
    long Entries, long Withheld, long First, long Head, string HeadSha256, long Photos, int Checkpoints, LogProblem? Problem)
{
    public bool IsWhole => Problem is null;
}

/// <summary>
/// Checks a log line by line: numbers without gaps, every content against its hash, every hash against the one before, photos against theirs,
/// and checkpoints. Managed code only; holds one line at a time.
/// </summary>
/// <remarks>
/// By itself the chain shows an edit, a dropped, inserted or moved entry, and a swapped photo, unless everything after it was
/// written anew. A cut tail, a whole database rolled back and a log rewritten from some entry on are perfect chains: only a checkpoint or a copy
/// kept elsewhere shows them.
/// </remarks>
public sealed class LogVerifier
{
    private static readonly JsonDocumentOptions Strict = new() { AllowDuplicateProperties = false };

    private readonly bool _extract;
    private readonly Func<string, string?>? _photoProblem;
    private readonly Dictionary<long, Checkpoint> _checkpoints;
    private long _line;
    private long _entries;
    private long _withheld;
    private long _first;
    private long _head;
    private long _photos;
    private int _agreed;
    private string _headSha256 = LogEntry.NoPrevious;
    private string _latest = "";
    private LogProblem? _problem;

    /// <param name="checkpoints">Signed elsewhere; their signatures are the caller's to check (<see cref="SignedCheckpoint.IsSignedBy"/>).</param>
    /// <param name="photoProblem">Says what is wrong with the photo or picture of a hash, or null; null where photos are not checked.</param>
    /// <param name="extract">True for a part of a log: it may begin anywhere, and entries may be withheld.</param>
    public LogVerifier(IEnumerable<Checkpoint>? checkpoints = null, Func<string, string?>? photoProblem = null, bool extract = false)
    {
        _checkpoints = [];
        foreach (var checkpoint in checkpoints ?? [])
        {
            if (_checkpoints.TryGetValue(checkpoint.Number, out var other) && other.Sha256 != checkpoint.Sha256)
                _problem ??= new LogProblem(checkpoint.Number, 0, $"Two checkpoints say different things of entry {checkpoint.Number}.", other.Sha256, checkpoint.Sha256);
            _checkpoints[checkpoint.Number] = checkpoint;
        }

        _photoProblem = photoProblem;
        _extract = extract;
    }

    /// <summary>Checks the next line; false from the first bad one on.</summary>
    public bool Add(string line)
    {
        ArgumentNullException.ThrowIfNull(line);
        _line++;
        return (_problem ??= Check(line)) is null;
    }

    /// <summary>What was found, once all lines are in.</summary>
    public LogVerification Finish()
    {
        if (_problem is null && _checkpoints.Values.Where(c => c.Number > _head).MinBy(c => c.Number) is { } beyond)
        {
            _problem = new LogProblem(
                _head + 1, 0, $"The log ends at entry {_head}, but a checkpoint of {beyond.At} was made at entry {beyond.Number}: its tail was cut off, or an older state was put back.",
                beyond.Sha256, "nothing");
        }

        return new LogVerification(_entries, _withheld, _first, _head, _headSha256, _photos, _agreed, _problem);
    }

    private LogProblem? Check(string line)
    {
        var expected = _head + 1;
        try
        {
            using var document = JsonDocument.Parse(line, Strict);
            var root = document.RootElement;
            var number = root.GetProperty("number").GetInt64();
            var (previous, contentSha256, sha256) = (Text(root, "previousSha256"), Text(root, "contentSha256"), Text(root, "sha256"));
            if (_head == 0 && _extract)
                (expected, _headSha256) = (number, previous); // an extract proves nothing of what came before it
            if (number > expected)
                return new LogProblem(expected, _line, $"Entry {expected} is missing: entry {number} stands in its place.", $"{expected}", $"{number}");
            if (number < expected)
                return new LogProblem(number, _line, $"Entry {number} stands where entry {expected} should be: it was moved, repeated or inserted.", $"{expected}", $"{number}");
            if (root.TryGetProperty("content", out var content))
            {
                if (Check(number, content, contentSha256) is { } bad)
                    return bad;
                _entries++;
            }
            else if (_extract)
            {
                _withheld++;
            }
            else
            {
                return new LogProblem(number, _line, $"The content of entry {number} is withheld, and this is said to be the whole log.");
            }

            return Link(number, previous, contentSha256, sha256);
        }
        catch (Exception e) when (e is JsonException or InvalidOperationException or KeyNotFoundException or FormatException)
        {
            return new LogProblem(expected, _line, $"Line {_line} cannot be read as entry {expected}: it is cut off or is no entry.");
        }
    }

    private LogProblem? Check(long number, JsonElement content, string contentSha256)
    {
        ReadOnlySpan<byte> written = JsonMarshal.GetRawUtf8Value(content);
        var hash = LogHash.Compute(written);
        if (hash != contentSha256)
            return new LogProblem(number, _line, $"The content of entry {number} was changed: it does not have the hash that was recorded.", contentSha256, hash);
        if (!written.SequenceEqual(CanonicalJson.From(content)))
            return new LogProblem(number, _line, $"The content of entry {number} is not written in canonical form (RFC 8785).");
        var at = Text(content, "at");
        if (string.CompareOrdinal(at, _latest) < 0)
            return new LogProblem(number, _line, $"Entry {number} is older than the one before it.", $"{_latest} or later", at);
        _latest = at;
        if (_photoProblem is null)
            return null;
        foreach (var member in (string[])["photoSha256", "pictureSha256"])
        {
            if (!content.TryGetProperty(member, out var photo))
                continue;
            if (_photoProblem(photo.GetString()!) is { } wrong)
                return new LogProblem(number, _line, $"The {(member[1] == 'h' ? "photo" : "picture")} of entry {number}: {wrong}", photo.GetString(), wrong);
            _photos++;
        }

        return null;
    }

    private LogProblem? Link(long number, string previous, string contentSha256, string sha256)
    {
        if (previous != _headSha256)
            return new LogProblem(number, _line, $"Entry {number} does not follow entry {number - 1}: one of the two was changed, put in or exchanged.", _headSha256, previous);
        var own = LogHash.OfEntry(number, previous, contentSha256);
        if (own != sha256)
            return new LogProblem(number, _line, $"The hash of entry {number} does not follow from its number, its content and the entry before.", own, sha256);
        if (_checkpoints.TryGetValue(number, out var checkpoint))
        {
            if (checkpoint.Sha256 != sha256)
                return new LogProblem(number, _line, $"Entry {number} is not the one that the checkpoint of {checkpoint.At} was made of: the log was rewritten up to here.", checkpoint.Sha256, sha256);
            _agreed++;
        }

        if (_first == 0)
            _first = number;
        (_head, _headSha256) = (number, sha256);
        return null;
    }

    private static string Text(JsonElement element, string member) => element.GetProperty(member).GetString() ?? throw new FormatException();
}
