namespace GrainVision.Grading.Refusals;

/// <summary>What becomes of a refused request, whatever carries it; the service maps it to an HTTP status.</summary>
public enum RefusalFate
{
    /// <summary>It cannot be read as what it should be.</summary>
    BadRequest,

    /// <summary>The caller is not known.</summary>
    NoKey,

    /// <summary>The caller is known and has no right to it.</summary>
    Forbidden,

    /// <summary>What it names is not there.</summary>
    NotFound,

    /// <summary>The address does not take this method.</summary>
    MethodNotAllowed,

    /// <summary>It came too slowly.</summary>
    TooSlow,

    /// <summary>It contradicts what is there already.</summary>
    Conflict,

    TooLarge,

    /// <summary>Its format is not read here.</summary>
    UnsupportedMedia,

    /// <summary>It was read, and what it says or shows does not do.</summary>
    Unprocessable,

    /// <summary>No place is free: try again.</summary>
    TooBusy,

    OurFault,

    /// <summary>Our fault, and likely to pass.</summary>
    Unavailable,
}

/// <summary>Where a refusal can happen.</summary>
[Flags]
public enum RefusalPlaces
{
    None = 0,

    /// <summary>Any request to the service.</summary>
    AnyRequest = 1,

    /// <summary>Measuring one photo, and reading what was measured.</summary>
    Measuring = 2,

    /// <summary>Photos sent to a delivery, and what its jobs say of each.</summary>
    Uploading = 4,

    /// <summary>Deliveries, pieces and jobs.</summary>
    Deliveries = 8,

    /// <summary>Decisions, and trying another rule book on them.</summary>
    Decisions = 16,

    RuleBooks = 32,

    /// <summary>The log, the audit and measuring again.</summary>
    Log = 64,

    /// <summary>The shop's command line.</summary>
    CommandLine = 128,
}
