using System.Text.Json;
using Dapper;
using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Records.Deliveries;
using GrainVision.Records.Log;
using GrainVision.Records.Measurements;
using GrainVision.Records.Schema;
using Microsoft.Extensions.DependencyInjection;

namespace GrainVision.Service.Tests;

/// <summary>
/// A piece whose photos were measured, as the jobs would have recorded them: what is found on it does not hang on the networks of the day. Invented
/// findings of a flitch, 8/4 x 6 in x 5 ft, that the spar book accepts but for its moisture, its weight and a doubtful mark on face 1.
/// </summary>
internal static class MeasuredPiece
{
    /// <summary>No moisture and no weight is entered with it.</summary>
    public const string Delivery =
        """{"supplier":"Invented Mill","orderNumber":"T-9","species":"sitka-spruce","ruleBooks":["spar"],"pieces":[{"number":1,"nominalQuarters":8,"widthIn":6,"lengthFt":5}]}""";

    private const double LengthMm = 5 * 12 * 25.4;

    /// <summary>Enters the delivery with its measured photos; gives its id.</summary>
    public static async Task<string> EnterMeasured(this HttpClient client, RunningService service)
    {
        var id = await client.Enter(Delivery);
        var database = service.Services.GetRequiredService<RecordsDatabase>();
        var finished = 0;
        foreach (var surface in Enum.GetValues<Surface>())
        {
            var measurement = Of(surface);
            var recorded = Record(service, measurement, new Recording("local", EntryVersions.None) { Delivery = id, Piece = $"{id}-1" });
            var word = JsonSerializer.SerializeToElement(surface, ContractJson.Options).GetString()!;
            var place = measurement.View == View.End
                ? $$"""{"pieceNumber":1,"surface":"{{word}}"}"""
                : $$"""{"pieceNumber":1,"surface":"{{word}}","stationMm":0,"wholeFace":true,"stationUncertaintyMm":25}""";
            using var writing = database.Write();
            writing.Transaction.Connection!.Execute(
                """
                INSERT INTO delivery_photos (delivery_id, sha256, file_name, arrived_utc, sent_by, place_json, piece_number, surface, sorted_by, measurement_id, finished_no)
                VALUES (@id, @Sha256, @word, '2026-11-28T00:00:00.0000000+00:00', 'local', @place, 1, @word, 'person', @measurement, @finished);
                UPDATE deliveries SET finished_count = @finished WHERE id = @id;
                """,
                new { id, recorded.Photo.Sha256, word, place, measurement = recorded.Id, finished = ++finished }, writing.Transaction);
            PhotoEntry.Append(writing.Transaction, id, recorded.Photo.Sha256, "local", TimeProvider.System.GetUtcNow());
            writing.Commit();
        }

        return id;
    }

    /// <summary>A photo of face 1 taken closer, 20 px a mm, that shows nothing; gives its measurement's id.</summary>
    public static string TakeCloser(RunningService service) =>
        Record(service, Of(Surface.Face1) with { Blemishes = [], Scale = new ScaleFinding(ScaleKind.Card, Measured.Exact(20)) }, new Recording("local", EntryVersions.None)).Id;

    private static Measurement Record(RunningService service, Measurement measurement, Recording recording)
    {
        var recorded = measurement with { Id = Guid.CreateVersion7().ToString("N"), Photo = measurement.Photo with { Sha256 = Convert.ToHexStringLower(Guid.NewGuid().ToByteArray()).PadRight(64, '0') } };
        Assert.True(service.Services.GetRequiredService<MeasurementStore>().TryAdd(
            new StoredMeasurement(recorded.Id, TimeProvider.System.GetUtcNow(), recorded.Photo.Sha256, new string('b', 64), "image/jpeg", "{}", JsonSerializer.Serialize(recorded, ContractJson.Options)),
            null,
            recording));
        return recorded;
    }

    /// <summary>A mark that may be a knot of 5 mm, or nothing.</summary>
    private static BlemishFinding Mark => new(
        BlemishKind.Knot, 0.6, new PointPx(7000, 750), About(5, 0.5), About(5, 0.5), 5, 5, 72.5, [])
    {
        AlongMm = 700, AcrossMm = 75, EdgeSlope = About(0.01, 0.005),
    };

    private static Measurement Of(Surface surface)
    {
        var across = surface is Surface.Face1 or Surface.Face3 ? 150.0 : 50.0;
        var slope = About(0.01, 0.005);
        var basis = new Measurement
        {
            View = surface is Surface.EndA or Surface.EndB ? View.End : View.Face,
            Species = "sitka-spruce",
            Photo = new PhotoFinding(new string('a', 64), 16000, 1600),
            PipelineVersion = "test",
            Scale = new ScaleFinding(ScaleKind.Card, Measured.Exact(10)),
            Outline = [new PointPx(0, 0), new PointPx(1500, 0), new PointPx(1500, 500), new PointPx(0, 500)],
        };
        return basis.View == View.End
            ? basis with
            {
                Size = new SectionSize(Measured.Exact(150), Measured.Exact(50)),
                Rings = new RingFinding(20, About(11, 0.3), About(10.6, 0.3), About(2.3, 0.1), About(0.3, 0.05), [new PointPx(10, 250), new PointPx(1490, 250)], []),
                RingAngle = new RingAngleFinding(About(80, 0.5), 80, 80, CutClass.From(80), null),
            }
            : basis with
            {
                Size = new SectionSize(Measured.Exact(LengthMm), Measured.Exact(across)),
                // Faces 2 and 4 are flat-grain: their fibres are read from streaks, which a person confirms.
                Grain = new GrainFinding(slope, OneIn.From(slope), slope, surface is Surface.Face1 or Surface.Face3 ? GrainBasis.RingLines : GrainBasis.FibreStreaks, []) { OuterEighths = slope },
                Blemishes = surface == Surface.Face1 ? [Mark] : [],
            };
    }

    private static Measured About(double value, double half) => new(value, value - half, value + half);
}
