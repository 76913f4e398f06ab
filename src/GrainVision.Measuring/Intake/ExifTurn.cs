using OpenCvSharp;

namespace GrainVision.Measuring.Intake;

/// <summary>Turns a picture upright by its EXIF orientation (Exif 2.3, tag 0x0112). The only place in the product that does.</summary>
internal static class ExifTurn
{
    /// <summary>Takes the picture over and gives back an upright one; for orientation 1 the same.</summary>
    /// <param name="stored">As stored in the file; owned by this call.</param>
    /// <param name="orientation">1 to 8.</param>
    /// <returns>The upright picture; the caller owns it.</returns>
    public static Mat Upright(Mat stored, int orientation)
    {
        if (orientation is <= 1 or > 8)
            return stored;
        using (stored)
        {
            var upright = new Mat();
            switch (orientation)
            {
                case 2: // mirrored left to right
                    Cv2.Flip(stored, upright, FlipMode.Y);
                    break;
                case 3:
                    Cv2.Rotate(stored, upright, RotateFlags.Rotate180);
                    break;
                case 4: // mirrored top to bottom
                    Cv2.Flip(stored, upright, FlipMode.X);
                    break;
                case 5: // row 0 is the left side, column 0 the top
                    Cv2.Transpose(stored, upright);
                    break;
                case 6: // row 0 is the right side, column 0 the top
                    Cv2.Rotate(stored, upright, RotateFlags.Rotate90Clockwise);
                    break;
                case 7: // row 0 is the right side, column 0 the bottom
                    Cv2.Transpose(stored, upright);
                    Cv2.Flip(upright, upright, FlipMode.XY);
                    break;
                default: // row 0 is the left side, column 0 the bottom
                    Cv2.Rotate(stored, upright, RotateFlags.Rotate90Counterclockwise);
                    break;
            }

            return upright;
        }
    }
}
