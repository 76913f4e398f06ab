using System.Text.Json;

namespace GrainVision.Records.Log;

/// <summary>
/// Checks a log entry by entry: numbers without gaps, every content against its hash, every hash against the one before, photos against theirs,
/// and checkpoints. Managed code only; holds one entry at a time.
/// </summary>
/// <remarks>
/// By itself the chain shows an edit, a dropped, inserted or moved entry, and a swapped photo, unless everything after it was
/// written anew. A cut tail, a whole database rolled back and a log rewritten from some entry on are perfect chains: only a checkpoint or a copy
/// kept elsewhere shows them.
/// </remarks>
public sealed class LogVerifier
{
    private readonly bool _extract;
    private readonly Func<string, string?>? _photoProblem;
    private readonly Func<string, string?>? _pictureProblem;
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
    /// <param name="photoProblem">Says what is wrong with the photo of a hash, or null; null where photos are not checked.</param>
    /// <param name="extract">True for a part of a log: it may begin anywhere, and entries may be withheld.</param>
    /// <param name="pictureProblem">The same of pictures; null where they are checked as photos are, or not.</param>
    public LogVerifier(
        IEnumerable<Checkpoint>? checkpoints = null, Func<string, string?>? photoProblem = null, bool extract = false, Func<string, string?>? pictureProblem = null)
    {
        _checkpoints = [];
        foreach (var checkpoint in checkpoints ?? [])
        {
            if (_checkpoints.TryGetValue(checkpoint.Number, out var other) && other.Sha256 != checkpoint.Sha256)
            {
                _problem ??= new LogProblem(
                    LogProblemCode.CheckpointsDisagree, checkpoint.Number, 0, $"Two checkpoints say different things of entry {checkpoint.Number}.", other.Sha256, checkpoint.Sha256);
            }

            _checkpoints[checkpoint.Number] = checkpoint;
        }

        _photoProblem = photoProblem;
        _pictureProblem = pictureProblem ?? photoProblem;
        _extract = extract;
    }

    /// <summary>Checks the next entry; false from the first bad one on.</summary>
    /// <param name="entry">Null where what stands in its place could not be read as an entry.</param>
    public bool Add(ShownEntry? entry)
    {
        _line++;
        return (_problem ??= entry is null ? Unreadable(_head + 1) : Check(entry)) is null;
    }

    /// <summary>Checks the next line of an exported log; false from the first bad one on.</summary>
    public bool AddLine(string line)
    {
        ArgumentNullException.ThrowIfNull(line);
        using var entry = ShownEntry.Parse(line);
        return Add(entry);
    }

    /// <summary>What was found, once all entries are in.</summary>
    public LogVerification Finish()
    {
        if (_problem is null && _checkpoints.Values.Where(c => c.Number > _head).MinBy(c => c.Number) is { } beyond)
        {
            _problem = new LogProblem(
                LogProblemCode.CheckpointBeyondLog, _head + 1, 0,
                $"The log ends at entry {_head}, but a checkpoint of {beyond.At} was made at entry {beyond.Number}: its tail was cut off, or an older state was put back.",
                beyond.Sha256, "nothing");
        }

        return new LogVerification(_entries, _withheld, _first, _head, _headSha256, _photos, _agreed, _problem);
    }

    private LogProblem? Check(ShownEntry entry)
    {
        var number = entry.Number;
        var expected = _head + 1;
        if (_head == 0 && _extract)
            (expected, _headSha256) = (number, entry.PreviousSha256); // an extract proves nothing of what came before it
        if (number > expected)
            return Problem(LogProblemCode.EntryMissing, expected, $"Entry {expected} is missing: entry {number} stands in its place.", $"{expected}", $"{number}");
        if (number < expected)
            return Problem(LogProblemCode.EntryOutOfPlace, number, $"Entry {number} stands where entry {expected} should be: it was moved, repeated or inserted.", $"{expected}", $"{number}");
        if (entry.Content is { } content)
        {
            try
            {
                if (CheckContent(entry, content) is { } bad)
                    return bad;
            }
            catch (Exception e) when (e is InvalidOperationException or KeyNotFoundException or FormatException)
            {
                return Unreadable(expected); // a member is missing or of another kind
            }

            _entries++;
        }
        else if (_extract)
        {
            _withheld++;
        }
        else
        {
            return Problem(LogProblemCode.ContentWithheld, number, $"The content of entry {number} is withheld, and this is said to be the whole log.");
        }

        return Link(entry);
    }

    private LogProblem? CheckContent(ShownEntry entry, JsonElement content)
    {
        var number = entry.Number;
        var hash = LogHash.Compute(entry.Written);
        if (hash != entry.ContentSha256)
            return Problem(LogProblemCode.ContentChanged, number, $"The content of entry {number} was changed: it does not have the hash that was recorded.", entry.ContentSha256, hash);
        if (!CanonicalJson.IsCanonical(content, entry.Written))
            return Problem(LogProblemCode.ContentNotCanonical, number, $"The content of entry {number} is not written in canonical form (RFC 8785).");
        var at = content.GetProperty("at").GetString() ?? throw new FormatException("The time is null.");
        if (string.CompareOrdinal(at, _latest) < 0)
            return Problem(LogProblemCode.TimeGoesBack, number, $"Entry {number} is older than the one before it.", $"{_latest} or later", at);
        _latest = at;
        return CheckPhoto(number, content, "photoSha256", "photo", _photoProblem) ?? CheckPhoto(number, content, "pictureSha256", "picture", _pictureProblem);
    }

    private LogProblem? CheckPhoto(long number, JsonElement content, string member, string what, Func<string, string?>? problemOf)
    {
        if (problemOf is null || !content.TryGetProperty(member, out var sha256))
            return null;
        if (problemOf(sha256.GetString()!) is { } wrong)
            return Problem(LogProblemCode.PhotoDiffers, number, $"The {what} of entry {number}: {wrong}", sha256.GetString(), wrong);
        _photos++;
        return null;
    }

    private LogProblem? Link(ShownEntry entry)
    {
        var (number, previous, sha256) = (entry.Number, entry.PreviousSha256, entry.Sha256);
        if (previous != _headSha256)
        {
            return Problem(
                LogProblemCode.ChainBroken, number, $"Entry {number} does not follow entry {number - 1}: one of the two was changed, put in or exchanged.", _headSha256, previous);
        }

        var own = LogHash.OfEntry(number, previous, entry.ContentSha256);
        if (own != sha256)
            return Problem(LogProblemCode.HashDiffers, number, $"The hash of entry {number} does not follow from its number, its content and the entry before.", own, sha256);
        if (_checkpoints.TryGetValue(number, out var checkpoint))
        {
            if (checkpoint.Sha256 != sha256)
            {
                return Problem(
                    LogProblemCode.CheckpointDiffers, number, $"Entry {number} is not the one that the checkpoint of {checkpoint.At} was made of: the log was rewritten up to here.",
                    checkpoint.Sha256, sha256);
            }

            _agreed++;
        }

        if (_first == 0)
            _first = number;
        (_head, _headSha256) = (number, sha256);
        return null;
    }

    private LogProblem Unreadable(long expected) =>
        Problem(LogProblemCode.Unreadable, expected, $"Line {_line} cannot be read as entry {expected}: it is cut off or is no entry.");

    private LogProblem Problem(LogProblemCode code, long number, string what, string? expected = null, string? found = null) => new(code, number, _line, what, expected, found);
}
