using System.Buffers;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using OpenCvSharp;
using SixLabors.ImageSharp.Memory;
using SixLabors.ImageSharp.PixelFormats;

namespace GrainVision.Measuring.Intake;

/// <summary>
/// The memory of one decoding: holds it below a ceiling whatever the file claims, frees all of it at the end whatever the decoder forgot,
/// and gives the decoder the picture's own <see cref="Mat"/> to write into, which saves a copy of the whole picture.
/// </summary>
internal sealed class DecodingMemory(int width, int height, long ceilingBytes) : MemoryAllocator, IDisposable
{
    private readonly List<IDisposable> _open = [];
    private MatBuffer? _picture;
    private long _held;

    /// <summary>The picture that the decoder wrote as BGR; null where it used other buffers. The caller owns it.</summary>
    public Mat? TakePicture()
    {
        var mat = _picture?.Take();
        _picture = null;
        return mat;
    }

    public override IMemoryOwner<T> Allocate<T>(int length, AllocationOptions options = AllocationOptions.None)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(length);
        var bytes = (long)length * Unsafe.SizeOf<T>();
        if (_held + bytes > ceilingBytes)
            throw new InvalidMemoryOperationException($"Decoding needs more than {ceilingBytes} bytes.");
        _held += bytes;
        if (typeof(T) == typeof(Bgr24) && _picture is null && length == (long)width * height)
        {
            _picture = new MatBuffer(this, width, height, bytes);
            _open.Add(_picture);
            return (IMemoryOwner<T>)(object)_picture;
        }

        var buffer = new NativeBuffer<T>(this, length, bytes, clean: options == AllocationOptions.Clean);
        _open.Add(buffer);
        return buffer;
    }

    /// <summary>Frees whatever is still open.</summary>
    public void Dispose()
    {
        for (var i = _open.Count - 1; i >= 0; i--)
            _open[i].Dispose();
        _open.Clear();
    }

    /// <summary>One block, however large: the picture's rows then follow each other without gaps.</summary>
    protected override int GetBufferCapacityInBytes() => int.MaxValue;

    private void Freed(long bytes) => _held -= bytes;

    private sealed unsafe class NativeBuffer<T> : MemoryManager<T>
        where T : struct
    {
        private readonly DecodingMemory _owner;
        private readonly int _length;
        private readonly long _bytes;
        private void* _at;

        public NativeBuffer(DecodingMemory owner, int length, long bytes, bool clean)
        {
            _owner = owner;
            _length = length;
            _bytes = bytes;
            _at = clean ? NativeMemory.AllocZeroed((nuint)bytes) : NativeMemory.Alloc((nuint)bytes);
        }

        public override Span<T> GetSpan() => _at is null ? throw new ObjectDisposedException(nameof(NativeBuffer<T>)) : new Span<T>(_at, _length);

        public override MemoryHandle Pin(int elementIndex = 0) => new(Unsafe.Add<T>(_at, elementIndex));

        public override void Unpin()
        {
            // Native memory does not move.
        }

        protected override void Dispose(bool disposing)
        {
            if (_at is null)
                return;
            NativeMemory.Free(_at);
            _at = null;
            _owner.Freed(_bytes);
        }
    }

    /// <summary>The picture itself: an OpenCV matrix, reference-counted there, written to as rows of <see cref="Bgr24"/>.</summary>
    private sealed unsafe class MatBuffer(DecodingMemory owner, int width, int height, long bytes) : MemoryManager<Bgr24>
    {
        private Mat? _mat = new(height, width, MatType.CV_8UC3);

        public Mat? Take()
        {
            var mat = _mat;
            _mat = null;
            return mat;
        }

        public override Span<Bgr24> GetSpan() =>
            _mat is null ? throw new ObjectDisposedException(nameof(MatBuffer)) : new Span<Bgr24>(_mat.DataPointer, width * height);

        public override MemoryHandle Pin(int elementIndex = 0) =>
            _mat is null ? throw new ObjectDisposedException(nameof(MatBuffer)) : new MemoryHandle((Bgr24*)_mat.DataPointer + elementIndex);

        public override void Unpin()
        {
            // Native memory does not move.
        }

        protected override void Dispose(bool disposing)
        {
            if (_mat is null)
                return;
            _mat.Dispose();
            _mat = null;
            owner.Freed(bytes);
        }
    }
}
