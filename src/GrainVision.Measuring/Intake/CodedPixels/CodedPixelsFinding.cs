namespace GrainVision.Measuring.Intake.CodedPixels;

/// <summary>What a walk through a file's coded pixels found, before any decoder sees them.</summary>
internal enum CodedPixelsFinding
{
    /// <summary>Every pixel that the header promises is coded, and nothing else is.</summary>
    Complete,

    /// <summary>Fewer pixels are coded than the header promises.</summary>
    EndsEarly,

    /// <summary>The coding breaks its own rules, a checksum is wrong, or more is coded than the header promises.</summary>
    Damaged,

    /// <summary>Well formed, but built so that decoding takes far more memory than any camera's file.</summary>
    TooCostly,
}
