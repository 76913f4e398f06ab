using GrainVision.Grading.Quantities;

namespace GrainVision.Presentation.Pictures;

/// <summary>Writes a photo into all of a part of the canvas, shrunk or enlarged to fill it.</summary>
public delegate void ResizePhoto(PhotoPixels from, CanvasPixels to);

/// <summary>A JPEG of the pixels, without metadata.</summary>
public delegate byte[] EncodeJpeg(CanvasPixels pixels);

/// <summary>
/// What the pixel library of the measuring does for a picture, handed in so that drawing needs none: it resizes as it measures, and writes the JPEG five
/// times as fast as Skia. Kept pictures are replayed byte for byte, so it must stay the one that made them.
/// </summary>
public sealed record PictureWork(ResizePhoto Resize, EncodeJpeg EncodeJpeg);
