using GrainVision.Records.Measurements;
using GrainVision.Service.Storage;

namespace GrainVision.Service.Pieces;

/// <summary>Annotated pictures for reports on paper, read one at a time.</summary>
internal sealed class ReportPictures(MeasurementStore measurements, ContentStores stores)
{
    /// <summary>Of the measurement with this id; null where none is kept.</summary>
    public byte[]? Of(string measurement) => measurements.Find(measurement) is { } m ? stores.Pictures.Read(m.PictureSha256) : null;
}
