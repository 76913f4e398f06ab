using System.Security.Cryptography;

namespace GrainVision.Records.Photos;

/// <summary>
/// Files kept by the SHA-256 of their content: <c>ab/cdef…</c>. A file appears whole or not at all: it is written beside its place,
/// forced to disk and then renamed. The same content twice is one file.
/// </summary>
/// <remarks>Photos lie here as received, position data and all: never serve one as it is.</remarks>
public sealed class ContentAddressedStore
{
    /// <summary>80 KB: a copy's worth, below what the runtime treats as a large object.</summary>
    private const int Step = 80 * 1024;

    private readonly string _root;
    private readonly string _incoming;

    /// <param name="root">Folder of this store alone; made where missing. Leftovers of a crash in it are removed.</param>
    public ContentAddressedStore(string root)
    {
        ArgumentException.ThrowIfNullOrEmpty(root);
        _root = root;
        _incoming = Path.Combine(root, "incoming");
        Directory.CreateDirectory(_incoming);
        foreach (var leftover in Directory.EnumerateFiles(_incoming))
            File.Delete(leftover);
    }

    /// <summary>Writes content to disk without giving it a place yet: costly, so it may run while the photo is being measured.</summary>
    public StagedFile Stage(ReadOnlySpan<byte> content)
    {
        var file = Path.Combine(_incoming, Guid.NewGuid().ToString("N"));
        using (var stream = new FileStream(file, FileMode.CreateNew, FileAccess.Write, FileShare.None, bufferSize: 0))
        {
            stream.Write(content);
            stream.Flush(flushToDisk: true);
        }

        return new StagedFile(this, file, Convert.ToHexStringLower(SHA256.HashData(content)));
    }

    /// <summary>The same from a stream, which is never held whole; null where it is longer than <paramref name="most"/> bytes.</summary>
    /// <param name="head">What was read of it already.</param>
    /// <param name="rest">The rest.</param>
    /// <param name="most">Most bytes, head included.</param>
    /// <param name="cancel">Stops reading; nothing is left behind.</param>
    public async Task<StagedFile?> Stage(ReadOnlyMemory<byte> head, Stream rest, long most, CancellationToken cancel)
    {
        ArgumentNullException.ThrowIfNull(rest);
        var file = Path.Combine(_incoming, Guid.NewGuid().ToString("N"));
        var staged = false;
        try
        {
            using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
            await using (var stream = new FileStream(file, FileMode.CreateNew, FileAccess.Write, FileShare.None, bufferSize: 0))
            {
                var buffer = new byte[Step];
                var length = 0L;
                for (var part = head; ;)
                {
                    length += part.Length;
                    if (length > most)
                        return null;
                    hash.AppendData(part.Span);
                    await stream.WriteAsync(part, cancel);
                    var n = await rest.ReadAsync(buffer, cancel);
                    if (n == 0)
                        break;
                    part = buffer.AsMemory(0, n);
                }

                stream.Flush(flushToDisk: true);
            }

            staged = true;
            return new StagedFile(this, file, Convert.ToHexStringLower(hash.GetHashAndReset()));
        }
        finally
        {
            if (!staged)
                File.Delete(file);
        }
    }

    /// <summary>Keeps content; gives its SHA-256, lower-case hex.</summary>
    public string Put(ReadOnlySpan<byte> content)
    {
        using var staged = Stage(content);
        staged.Keep();
        return staged.Sha256;
    }

    /// <summary>The content, or null where it is not kept here.</summary>
    /// <exception cref="InvalidDataException">The file no longer has the hash it is kept by.</exception>
    public byte[]? Read(string sha256)
    {
        var file = PlaceOf(sha256);
        if (!File.Exists(file))
            return null;
        var content = File.ReadAllBytes(file);
        return Convert.ToHexStringLower(SHA256.HashData(content)) == sha256
            ? content
            : throw new InvalidDataException($"The file kept as {sha256} was changed.");
    }

    /// <summary>Throws where the folder cannot be written to.</summary>
    public void CheckWritable()
    {
        using var staged = Stage([]);
    }

    internal void Keep(string stagedFile, string sha256)
    {
        var place = PlaceOf(sha256);
        if (File.Exists(place))
            return;
        var folder = Path.GetDirectoryName(place)!;
        var isNew = !Directory.Exists(folder);
        Directory.CreateDirectory(folder);
        File.Move(stagedFile, place, overwrite: true);
        FolderSync.Flush(folder);
        if (isNew)
            FolderSync.Flush(_root);
    }

    private string PlaceOf(string sha256)
    {
        if (sha256 is not { Length: 64 } || !sha256.All(char.IsAsciiHexDigitLower))
            throw new ArgumentException("A SHA-256 is 64 lower-case hex digits.", nameof(sha256));
        return Path.Combine(_root, sha256[..2], sha256[2..]);
    }
}

/// <summary>Content that is on disk but not kept yet. Disposing it without <see cref="Keep"/> removes it.</summary>
public sealed class StagedFile : IDisposable
{
    private readonly ContentAddressedStore _store;
    private readonly string _file;

    internal StagedFile(ContentAddressedStore store, string file, string sha256)
    {
        _store = store;
        _file = file;
        Sha256 = sha256;
    }

    /// <summary>Lower-case hex.</summary>
    public string Sha256 { get; }

    /// <summary>Bytes.</summary>
    public long Length => new FileInfo(_file).Length;

    /// <summary>The content, to be read; the caller disposes the stream.</summary>
    public FileStream OpenRead() => new(_file, FileMode.Open, FileAccess.Read, FileShare.Read | FileShare.Delete);

    /// <summary>Gives the content its place for good.</summary>
    public void Keep() => _store.Keep(_file, Sha256);

    public void Dispose() => File.Delete(_file);
}
