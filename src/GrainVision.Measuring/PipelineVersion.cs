namespace GrainVision.Measuring;

/// <summary>Version stamp of every measurement. Raise it with any change that can change a number or a picture.</summary>
public static class PipelineVersion
{
    public const string Current = "2.2.0";
}
