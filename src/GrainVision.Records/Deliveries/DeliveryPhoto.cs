using System.Text.Json.Serialization;
using GrainVision.Grading.Pieces;

namespace GrainVision.Records.Deliveries;

/// <summary>
/// How far a photo has come, as people are shown it: read off what is recorded of it (<see cref="DeliveryPhoto.State"/>), kept nowhere.
/// <c>Unsorted</c>, <c>Measured</c> and <c>SetAside</c> wait for nobody but a person.
/// </summary>
public enum PhotoState
{
    /// <summary>Kept; not looked at yet.</summary>
    [JsonStringEnumMemberName("received")]
    Received,

    [JsonStringEnumMemberName("sorting")]
    Sorting,

    /// <summary>Nothing tells where it belongs, or two things disagree: a person assigns it.</summary>
    [JsonStringEnumMemberName("unsorted")]
    Unsorted,

    /// <summary>Sorted; waits to be measured.</summary>
    [JsonStringEnumMemberName("waiting")]
    Waiting,

    [JsonStringEnumMemberName("measuring")]
    Measuring,

    [JsonStringEnumMemberName("measured")]
    Measured,

    /// <summary>Could not be measured; the reason says why, and a person may have it tried again.</summary>
    [JsonStringEnumMemberName("setAside")]
    SetAside,
}

/// <summary>Who or what said where a photo belongs.</summary>
public enum SortedBy
{
    [JsonStringEnumMemberName("card")]
    Card,

    [JsonStringEnumMemberName("name")]
    Name,

    [JsonStringEnumMemberName("manifest")]
    Manifest,

    [JsonStringEnumMemberName("person")]
    Person,
}

/// <summary>Why a photo is in no piece's findings.</summary>
/// <param name="Code">Stable word for programs.</param>
/// <param name="Why">In words.</param>
/// <param name="Advice">What to do next.</param>
public sealed record PhotoProblem(string Code, string Why, string Advice);

/// <summary>A photo of a delivery.</summary>
public sealed record DeliveryPhoto
{
    public required string DeliveryId { get; init; }

    /// <summary>Of the bytes as received, lower-case hex: what the photo is known by within its delivery.</summary>
    public required string Sha256 { get; init; }

    /// <summary>As sent; shown, never used as a path.</summary>
    public required string FileName { get; init; }

    public required DateTimeOffset ArrivedUtc { get; init; }

    /// <summary>Name of the caller who sent it.</summary>
    public required string SentBy { get; init; }

    public PhotoState State => this switch
    {
        { MeasurementId: not null } => PhotoState.Measured,
        { Problem: not null } => NeedsPlace ? PhotoState.Unsorted : PhotoState.SetAside,
        { InHand: true } => Place is null ? PhotoState.Sorting : PhotoState.Measuring,
        _ => Place is null ? PhotoState.Received : PhotoState.Waiting,
    };

    /// <summary>What the manifest said of it; null where it is in none.</summary>
    public PhotoPlace? ManifestPlace { get; init; }

    /// <summary>Where it belongs; null where it was not sorted.</summary>
    public PhotoPlace? Place { get; init; }

    public SortedBy? SortedBy { get; init; }

    /// <summary>Put on record before a process works on the photo and taken off after it: what is left at the next start was in hand when the process died.</summary>
    public bool InHand { get; init; }

    /// <summary>How often the process ended while it worked on this photo.</summary>
    public int Deaths { get; init; }

    /// <summary>Why it is in no piece's findings; null where it is, or where nobody has come so far.</summary>
    public PhotoProblem? Problem { get; init; }

    /// <summary>True where <see cref="Problem"/> is that nobody knows where the photo belongs.</summary>
    public bool NeedsPlace { get; init; }

    public string? MeasurementId { get; init; }

    /// <summary>Cards that were found when it was sorted, so that measuring it does not seek them again; null where it was not, or is done with.</summary>
    public string? CardsJson { get; init; }

    /// <summary>Its turn among the delivery's photos that were done with; null while it waits.</summary>
    public long? FinishedNo { get; init; }
}

/// <summary>A photo that has just come in.</summary>
public sealed record ArrivedPhoto(string Sha256, string FileName, PhotoPlace? ManifestPlace);

/// <summary>One upload: the work that came of it.</summary>
public sealed record StoredJob(string Id, string DeliveryId, DateTimeOffset CreatedUtc, string CreatedBy);
