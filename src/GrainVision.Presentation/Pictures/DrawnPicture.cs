namespace GrainVision.Presentation.Pictures;

/// <summary>How the picture is written.</summary>
public enum PictureFormat
{
    /// <summary>JPEG: small enough for a phone on a slow line. The default.</summary>
    Jpeg,

    /// <summary>PNG: no loss, several times larger.</summary>
    Png,
}

/// <summary>A measurement drawn over its photo.</summary>
/// <param name="Bytes">The encoded file. It carries no metadata: no position, no camera, no time.</param>
/// <param name="ContentType"><c>image/jpeg</c> or <c>image/png</c>.</param>
/// <param name="AltText">The same in words, for a screen reader. Plain text: whoever puts it in a page escapes it.</param>
/// <param name="Width">px.</param>
/// <param name="Height">px.</param>
public sealed record DrawnPicture(byte[] Bytes, string ContentType, string AltText, int Width, int Height);
