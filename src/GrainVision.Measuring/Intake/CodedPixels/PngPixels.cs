using System.Buffers.Binary;
using System.IO.Hashing;

namespace GrainVision.Measuring.Intake.CodedPixels;

/// <summary>
/// Every chunk's checksum, and the bytes that the pixel chunks unpack to, against the rows that the header promises (ISO/IEC 15948, 5.3, 10, 11.2).
/// The decoder compares no checksum of chunks it does not use, and leaves missing rows black.
/// </summary>
/// <remarks>For files that are not interlaced, and whose chunks were walked to IEND before (<see cref="PngHeader"/>).</remarks>
internal static class PngPixels
{
    private const int SignatureLength = 8;
    private const int HeaderAt = 16;

    public static CodedPixelsFinding Check(ReadOnlyMemory<byte> file, CancellationToken cancel)
    {
        var bytes = file.Span;
        var data = new List<ReadOnlyMemory<byte>>();
        var lastWasData = false;
        for (var at = SignatureLength; ;)
        {
            var length = (int)BinaryPrimitives.ReadUInt32BigEndian(bytes[at..]);
            var typed = bytes.Slice(at + 4, length + 4);
            if (Crc32.HashToUInt32(typed) != BinaryPrimitives.ReadUInt32BigEndian(bytes[(at + 8 + length)..]))
                return CodedPixelsFinding.Damaged;
            cancel.ThrowIfCancellationRequested();
            var isData = typed.StartsWith("IDAT"u8);
            if (isData && data.Count > 0 && !lastWasData)
                return CodedPixelsFinding.Damaged; // pixel chunks stand together (5.6): one between them is gone or moved
            if (isData)
                data.Add(file.Slice(at + 8, length));
            if (typed.StartsWith("IEND"u8))
                break;
            lastWasData = isData;
            at += 12 + length;
        }

        if (BytesOfPixels(bytes[HeaderAt..]) is not { } expected)
            return CodedPixelsFinding.Damaged;
        data.RemoveAll(d => d.IsEmpty);
        var end = data.TakeLast(4).SelectMany(d => d.Span[^Math.Min(4, d.Length)..].ToArray()).TakeLast(4).ToArray();
        if (end.Length < 4)
            return CodedPixelsFinding.EndsEarly;
        using var joined = new JoinedStream(data);
        return DeflatedPixels.Count(joined, expected, expected, BinaryPrimitives.ReadUInt32BigEndian(end), cancel);
    }

    /// <summary>Rows with their filter byte; null for a depth and colour type that do not go together (11.2.2, table 11.1).</summary>
    private static long? BytesOfPixels(ReadOnlySpan<byte> header)
    {
        long width = BinaryPrimitives.ReadUInt32BigEndian(header);
        long height = BinaryPrimitives.ReadUInt32BigEndian(header[4..]);
        int depth = header[8];
        var channels = (header[9], depth) switch
        {
            (0, 1 or 2 or 4 or 8 or 16) or (3, 1 or 2 or 4 or 8) => 1,
            (4, 8 or 16) => 2,
            (2, 8 or 16) => 3,
            (6, 8 or 16) => 4,
            _ => 0,
        };
        return channels == 0 ? null : height * (1 + (((width * depth * channels) + 7) / 8));
    }

    /// <summary>Pieces of the file read as one stream, without copying them together.</summary>
    private sealed class JoinedStream(List<ReadOnlyMemory<byte>> pieces) : Stream
    {
        private int _piece;
        private int _at;

        public override bool CanRead => true;

        public override bool CanSeek => false;

        public override bool CanWrite => false;

        public override long Length => throw new NotSupportedException();

        public override long Position
        {
            get => throw new NotSupportedException();
            set => throw new NotSupportedException();
        }

        public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

        public override int Read(Span<byte> buffer)
        {
            while (_piece < pieces.Count && _at == pieces[_piece].Length)
                (_piece, _at) = (_piece + 1, 0);
            if (_piece == pieces.Count)
                return 0;
            var n = Math.Min(buffer.Length, pieces[_piece].Length - _at);
            pieces[_piece].Span.Slice(_at, n).CopyTo(buffer);
            _at += n;
            return n;
        }

        public override void Flush()
        {
        }

        public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

        public override void SetLength(long value) => throw new NotSupportedException();

        public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();
    }
}
