using GrainVision.Measuring;
using GrainVision.Records.Log;

namespace GrainVision.Service.Measurements;

/// <summary>The versions of this process, as the log writes them.</summary>
internal static class PresentVersions
{
    public static EntryVersions Current { get; } = From(MeasuringVersions.Current);

    private static EntryVersions From(MeasuringVersions v) =>
        new() { Pipeline = v.Pipeline, Model = v.Model, OpenCv = v.OpenCv, Drawing = Presentation.Drawing.Version, Runtime = v.Runtime };
}
