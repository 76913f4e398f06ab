using At = GrainVision.Grading.Refusals.RefusalPlaces;
using Fate = GrainVision.Grading.Refusals.RefusalFate;

namespace GrainVision.Grading.Refusals;

/// <summary>
/// Every refusal of the product, one line each: code, stage, fate, where it can happen, what to do next. The service's REFUSALS.md is written from it.
/// </summary>
public static class RefusalCatalog
{
    private const RefusalPlaces Photo = At.Measuring | At.Uploading | At.CommandLine;

    private const string HowToRetake = "Take the photo again with the printed card or a steel rule lying flat beside the wood, in the same plane as its surface, wholly in the picture and in focus, with the camera held square to it and no glare; or give two points and their distance.";

    private const string FormWanted = "Send multipart/form-data with photo=<file> and request={\"view\":\"end\"|\"face\", \"scale\":{\"kind\":\"auto\"}, ...}; see /swagger.";

    private const string SendOriginal = "Send the original file from the camera or phone once more, not a preview or a forwarded copy.";

    private const string Assign = "Look at the photo and say which piece and surface it shows, or send a manifest that names it.";

    private static readonly Dictionary<string, RefusalKind> ByCode = new(StringComparer.Ordinal);

    // Intake: the photo's bytes.
    public static RefusalKind PhotoEmpty { get; } = Add("photo-empty", "intake", Fate.BadRequest, Photo, "Choose the photo again and wait until the upload has finished.");
    public static RefusalKind PhotoTooLarge { get; } = Add("photo-too-large", "intake", Fate.TooLarge, Photo, "Send the camera's JPEG, not a raw or scanned file.");
    public static RefusalKind PhotoFormatNotSupported { get; } = Add("photo-format-not-supported", "intake", Fate.UnsupportedMedia, Photo, "Send a JPEG, PNG, WebP, TIFF or BMP file.");
    public static RefusalKind PhotoUnreadable { get; } = Add("photo-unreadable", "intake", Fate.Unprocessable, Photo, SendOriginal);
    public static RefusalKind PhotoTooManyPixels { get; } = Add("photo-too-many-pixels", "intake", Fate.Unprocessable, Photo, "Choose a smaller size in the camera, or photograph a shorter stretch of the piece.");
    public static RefusalKind PhotoTooSmall { get; } = Add("photo-too-small", "intake", Fate.Unprocessable, Photo, "Send the original photo at full size, not a thumbnail.");
    public static RefusalKind PhotoTooCostly { get; } = Add("photo-too-costly", "intake", Fate.Unprocessable, Photo, "Save it as an ordinary 8-bit JPEG or PNG at full size, and send that.");
    public static RefusalKind OutOfMemory { get; } = Add("out-of-memory", "intake", Fate.Unavailable, Photo, "Try again in a minute.");

    // Scale.
    public static RefusalKind CheckTargetUnknown { get; } = Add("check-target-unknown", "scale", Fate.Unprocessable, Photo, "Retake with the square marker right of the card in the picture and in focus, or state pitchMm and angleDegrees as the sheet says them.");
    public static RefusalKind OutlineNotWhole { get; } = Add("outline-not-whole", "scale", Fate.Unprocessable, Photo, "Give the outline's corners, or retake with the whole piece in the picture, or lay a card or rule beside it.");
    public static RefusalKind ScaleNotFound { get; } = Add("scale-not-found", "scale", Fate.Unprocessable, Photo, HowToRetake);
    public static RefusalKind CardNotFound { get; } = Add("card-not-found", "scale", Fate.Unprocessable, Photo, HowToRetake);
    public static RefusalKind PieceCardNotFound { get; } = Add("piece-card-not-found", "scale", Fate.Unprocessable, Photo, "Assign the photo to its piece and surface by hand, by its file name or by a manifest; or retake it with the piece card beside the wood.");
    public static RefusalKind PieceCardNotReadable { get; } = Add("piece-card-not-readable", "scale", Fate.Unprocessable, Photo, "Read the figures on the card and assign the photo by hand; or retake it with the whole card uncovered, in focus and without glare.");
    public static RefusalKind PieceCardsDisagree { get; } = Add("piece-cards-disagree", "scale", Fate.Unprocessable, Photo, "Assign the photo by hand, and leave only the card of the photographed surface in the picture.");
    public static RefusalKind CardMirrored { get; } = Add("card-mirrored", "scale", Fate.Unprocessable, Photo, "Turn off the camera's mirror setting (front cameras mirror) or undo the flip, and send the photo as it was taken.");
    public static RefusalKind CardTooLittleSeen { get; } = Add("card-too-little-seen", "scale", Fate.Unprocessable, Photo, "Take the photo again with the whole card uncovered, in focus and inside the picture.");
    public static RefusalKind CardNotFlat { get; } = Add("card-not-flat", "scale", Fate.Unprocessable, Photo, "Glue the card on stiff board, lay it flat in the plane of the wood's surface and take the photo again.");
    public static RefusalKind CardTooTilted { get; } = Add("card-too-tilted", "scale", Fate.Unprocessable, Photo, "Hold the camera square to the wood and the card, within about 30 degrees, and take the photo again.");
    public static RefusalKind CardTooSmall { get; } = Add("card-too-small", "scale", Fate.Unprocessable, Photo, "Lay the card close beside the wood and go nearer, so that the card is at least 250 pixels wide.");
    public static RefusalKind RuleNotFound { get; } = Add("rule-not-found", "scale", Fate.Unprocessable, Photo, HowToRetake);
    public static RefusalKind RuleTooShort { get; } = Add("rule-too-short", "scale", Fate.Unprocessable, Photo, "Show at least 30 mm of a millimetre rule, or two inches of an inch rule, in focus and without glare; or lay the printed card beside the wood.");
    public static RefusalKind RuleUnitDoubtful { get; } = Add("rule-unit-doubtful", "scale", Fate.Unprocessable, Photo, "If it is a millimetre rule, or one in 16ths, 32nds or 64ths, say its unit with the request. Otherwise show the rule's whole width and at least 30 mm, or two inches, of its length in focus, or lay the printed card or another rule beside the wood. Rules in tenths, fiftieths or hundredths of an inch are not read.");
    public static RefusalKind RuleUnitContradicts { get; } = Add("rule-unit-contradicts", "scale", Fate.Unprocessable, Photo, "Check the rule's unit and send the photo again with the right one, or leave the unit out.");
    public static RefusalKind RuleUneven { get; } = Add("rule-uneven", "scale", Fate.Unprocessable, Photo, "Take the photo again with the rule straight, flat, in focus and without glare, the camera square to it.");
    public static RefusalKind ScaleTooFar { get; } = Add("scale-too-far", "scale", Fate.Unprocessable, Photo, "Lay it close beside the wood in the plane of its surface, hold the camera square to both and take the photo again.");
    public static RefusalKind ScalePointsUnusable { get; } = Add("scale-points-unusable", "scale", Fate.Unprocessable, Photo, "Give two points inside the photo, at least 30 pixels apart, and the distance between them in millimetres.");
    public static RefusalKind ScaleBelowAbsurd { get; } = Add("scale-below-absurd", "scale", Fate.Unprocessable, Photo, "State scaleBelowMm in millimetres, positive where the card or rule lies below the photographed surface; leave it out where both lie in one plane.");
    public static RefusalKind ScalePitchUnusable { get; } = Add("scale-pitch-unusable", "scale", Fate.Unprocessable, Photo, "Give pixels per millimetre as the scanner or the copy stand has them.");
    public static RefusalKind ScaleOutlineUnusable { get; } = Add("scale-outline-unusable", "scale", Fate.Unprocessable, Photo, "Give the four corners in order round the piece, and the lengths of side 1-2 and side 2-3 in millimetres.");
    public static RefusalKind ScaleOutlineMismatch { get; } = Add("scale-outline-mismatch", "scale", Fate.Unprocessable, Photo, "Check that the first size belongs to side 1-2 and the second to side 2-3, that both are millimetres, and that the camera was square to the surface.");

    // Section: the piece in the photo.
    public static RefusalKind OutlineNotFourCorners { get; } = Add("outline-not-four-corners", "section", Fate.Unprocessable, Photo, "Give corners 1 to 4 in order round the piece.");
    public static RefusalKind OutlineOutsidePhoto { get; } = Add("outline-outside-photo", "section", Fate.Unprocessable, Photo, "Give corners in pixels of the upright photo, origin at the top left.");
    public static RefusalKind OutlineTooSmall { get; } = Add("outline-too-small", "section", Fate.Unprocessable, Photo, "Go closer, or check the order of the corners.");
    public static RefusalKind OutlineNotConvex { get; } = Add("outline-not-convex", "section", Fate.Unprocessable, Photo, "Give the four corners in order round the piece.");
    public static RefusalKind SectionNotFound { get; } = Add("section-not-found", "section", Fate.Unprocessable, Photo, "Give the outline's four corners, or lay the piece on a plain bench or cloth of another colour, whole in the picture, and retake.");
    public static RefusalKind SectionSizeAbsurd { get; } = Add("section-size-absurd", "section", Fate.Unprocessable, Photo, "Check the scale that was given (unit, distance, corners) or retake with the card or rule beside the piece.");

    // Request: what the caller sent or asked for.
    public static RefusalKind NoSuchFile { get; } = Add("no-such-file", "request", Fate.NotFound, At.CommandLine, "Check the path.");
    public static RefusalKind CheckTargetNotCompared { get; } = Add("check-target-not-compared", "request", Fate.OurFault, At.CommandLine, "Use a service of this version, or --local.");
    public static RefusalKind FileThere { get; } = Add("file-there", "request", Fate.Conflict, At.CommandLine, "Choose another name: a key is never overwritten.");
    public static RefusalKind KeyUnreadable { get; } = Add("key-unreadable", "request", Fate.BadRequest, At.CommandLine, "Give the .private.pem that 'grainvision checkpoint new-key' wrote.");
    public static RefusalKind PublicKeyMissing { get; } = Add("public-key-missing", "request", Fate.BadRequest, At.CommandLine, "Give the shop's public key with --public-key.");
    public static RefusalKind CheckpointUnreadable { get; } = Add("checkpoint-unreadable", "request", Fate.BadRequest, At.CommandLine, "Give a file that 'grainvision checkpoint sign' wrote.");
    public static RefusalKind CheckpointForged { get; } = Add("checkpoint-forged", "request", Fate.BadRequest, At.CommandLine, "Check that it is the shop's public key and the file as it was kept.");
    public static RefusalKind PublicKeyUnreadable { get; } = Add("public-key-unreadable", "request", Fate.BadRequest, At.CommandLine, "Give the .public.pem that 'grainvision checkpoint new-key' wrote.");
    public static RefusalKind NoSuchFolder { get; } = Add("no-such-folder", "request", Fate.NotFound, At.CommandLine, "Check the path.");
    public static RefusalKind NoPhotos { get; } = Add("no-photos", "request", Fate.NotFound, At.CommandLine, "Photos end in .jpg, .png, .webp, .tif or .bmp.");
    public static RefusalKind ManifestTooLarge { get; } = Add("manifest-too-large", "request", Fate.TooLarge, At.Uploading | At.CommandLine, "Send one row a photo.");
    public static RefusalKind LogUnreadable { get; } = Add("log-unreadable", "request", Fate.Unavailable, At.CommandLine, "Check the address, the API key and that the service runs.");
    public static RefusalKind BadOption { get; } = Add("bad-option", "request", Fate.BadRequest, At.CommandLine, "See the command's --help.");
    public static RefusalKind ServiceUnreachable { get; } = Add("service-unreachable", "request", Fate.Unavailable, At.CommandLine, "Start it (see README), name it with --server, or measure in this process with --local.");
    public static RefusalKind UnexpectedAnswer { get; } = Add("unexpected-answer", "request", Fate.OurFault, At.CommandLine, "Check the address given with --server.");
    public static RefusalKind RuleBookUnreadable { get; } = Add("rule-book-unreadable", "request", Fate.Unprocessable, At.Decisions | At.RuleBooks | At.CommandLine, "Correct it and send it again; the rule-book schema lists every member.");
    public static RefusalKind ManifestUnreadable { get; } = Add("manifest-unreadable", "request", Fate.Unprocessable, At.Uploading, "Send CSV with the header file,piece,surface,stationMm,whole; surface is endA, endB or face1 to face4.");
    public static RefusalKind RuleBookInvalid { get; } = Add("rule-book-invalid", "request", Fate.Unprocessable, At.RuleBooks, "Correct it and send it again; the rule-book schema lists every member.");
    public static RefusalKind RuleBookUnknown { get; } = Add("rule-book-unknown", "request", Fate.NotFound, At.Measuring | At.Deliveries | At.Decisions | At.RuleBooks, "GET /v1/rule-books lists the newest of each.");
    public static RefusalKind RuleBookVersionTaken { get; } = Add("rule-book-version-taken", "request", Fate.Conflict, At.RuleBooks, "Send it as the next version.");
    public static RefusalKind CheckTargetAbsurd { get; } = Add("check-target-absurd", "request", Fate.Unprocessable, Photo, "State pitchMm (0.2 to 25) and angleDegrees (0 to 90) together as the sheet says them, or neither; checkLineMm is the 100 mm line as your rule shows it.");
    public static RefusalKind CheckTargetIsAnEnd { get; } = Add("check-target-is-an-end", "request", Fate.Unprocessable, Photo, "Send its photo with view end.");
    public static RefusalKind RingAngleAbsurd { get; } = Add("ring-angle-absurd", "request", Fate.Unprocessable, Photo, "State the angle between the rings and this face, or leave it out.");
    public static RefusalKind TargetThere { get; } = Add("target-there", "request", Fate.Conflict, At.CommandLine, "Name a new folder: a backup is never written over another.");
    public static RefusalKind ServiceRunning { get; } = Add("service-running", "request", Fate.Conflict, At.CommandLine, "Stop the service, restore, and start it again.");
    public static RefusalKind RecordsMissing { get; } = Add("records-missing", "request", Fate.NotFound, At.CommandLine, "Give the folder that holds records.sqlite.");
    public static RefusalKind IdempotencyKeyReused { get; } = Add("idempotency-key-reused", "request", Fate.Conflict, At.Measuring | At.Decisions, "Use a new key for every new request.");
    public static RefusalKind DecisionNotCurrent { get; } = Add("decision-not-current", "request", Fate.Conflict, At.Decisions, "Leave 'supersedes' out.");
    public static RefusalKind DecisionUnknown { get; } = Add("decision-unknown", "request", Fate.NotFound, At.Decisions, "Check the id; GET /v1/decisions lists them.");
    public static RefusalKind MeasurementUnknown { get; } = Add("measurement-unknown", "request", Fate.NotFound, At.Measuring | At.Decisions | At.Log, "Check the id; GET /v1/log?kind=measurement lists them.");
    public static RefusalKind MeasurementOfOtherPiece { get; } = Add("measurement-of-other-piece", "request", Fate.Unprocessable, At.Decisions, "Name measurements of this piece.");
    public static RefusalKind DecisionUnreadable { get; } = Add("decision-unreadable", "request", Fate.Unprocessable, At.Decisions, "Correct it and send it again; see /swagger.");
    public static RefusalKind FindingUnreadable { get; } = Add("finding-unreadable", "request", Fate.Unprocessable, At.Decisions, "Correct it and send it again; see /swagger.");
    public static RefusalKind FindingNotCurrent { get; } = Add("finding-not-current", "request", Fate.Conflict, At.Decisions, "GET /v1/pieces/{id}/findings lists those that count; name one of them in 'corrects', or leave it out.");
    public static RefusalKind TrialUnreadable { get; } = Add("trial-unreadable", "request", Fate.Unprocessable, At.Log | At.CommandLine, "Send a table with the header piece,quantity,value,unit,plusMinus (the last two may be left out), one row a measurement by hand; repeats are rows of their own.");
    public static RefusalKind WhatIfUnreadable { get; } = Add("what-if-unreadable", "request", Fate.Unprocessable, At.Decisions, "Give \"ruleBook\" or \"remeasure\":true, and a limit within range.");
    public static RefusalKind DeliveryUnfit { get; } = Add("delivery-unfit", "request", Fate.Unprocessable, At.Deliveries, "Correct it and send it again; see /swagger.");
    public static RefusalKind DeliveryUnknown { get; } = Add("delivery-unknown", "request", Fate.NotFound, At.Deliveries, "Check the id; GET /v1/deliveries lists them.");
    public static RefusalKind PhotoUnknown { get; } = Add("photo-unknown", "request", Fate.NotFound, At.Measuring | At.Deliveries, "Check it; GET /v1/deliveries/{id} lists the photos.");
    public static RefusalKind PhotoAtWork { get; } = Add("photo-at-work", "request", Fate.Conflict, At.Deliveries, "Try again in a few seconds.");
    public static RefusalKind PieceUnknown { get; } = Add("piece-unknown", "request", Fate.NotFound, At.Uploading | At.Deliveries | At.Decisions, "Check it; GET /v1/deliveries/{id} lists the pieces.");
    public static RefusalKind StationUnfit { get; } = Add("station-unfit", "request", Fate.Unprocessable, At.Deliveries, "Correct stationMm, or leave it out.");
    public static RefusalKind PhotoNotSetAside { get; } = Add("photo-not-set-aside", "request", Fate.Conflict, At.Deliveries, "Only photos that were set aside can be tried again.");
    public static RefusalKind ApiKeyMissing { get; } = Add("api-key-missing", "request", Fate.NoKey, At.AnyRequest, "Send the key as X-Api-Key or as Authorization: Bearer.");
    public static RefusalKind ApiKeyUnknown { get; } = Add("api-key-unknown", "request", Fate.NoKey, At.AnyRequest, "Check the key, or ask whoever runs the service for one.");
    public static RefusalKind HostNotLocal { get; } = Add("host-not-local", "request", Fate.Forbidden, At.AnyRequest, "Call it as localhost or 127.0.0.1, or configure API keys.");
    public static RefusalKind IdempotencyKeyUnfit { get; } = Add("idempotency-key-unfit", "request", Fate.BadRequest, At.AnyRequest, "Use a UUID.");
    public static RefusalKind BodyUnreadable { get; } = Add("body-unreadable", "request", Fate.BadRequest, At.AnyRequest, "See /swagger for its members.");
    public static RefusalKind BodyTooLarge { get; } = Add("body-too-large", "request", Fate.TooLarge, At.AnyRequest, "Send less at a time: one photo as JPEG at normal quality, or a shorter list.");
    public static RefusalKind UploadTooSlow { get; } = Add("upload-too-slow", "request", Fate.TooSlow, At.AnyRequest, "Try again where the connection is better.");
    public static RefusalKind BadRequest { get; } = Add("bad-request", "request", Fate.BadRequest, At.AnyRequest, "See /swagger for what this service takes.");
    public static RefusalKind NotFound { get; } = Add("not-found", "request", Fate.NotFound, At.AnyRequest, "See /swagger for the addresses of this service.");
    public static RefusalKind MethodNotAllowed { get; } = Add("method-not-allowed", "request", Fate.MethodNotAllowed, At.AnyRequest, "Use one of the methods in the Allow header.");
    public static RefusalKind MediaTypeNotSupported { get; } = Add("media-type-not-supported", "request", Fate.UnsupportedMedia, At.AnyRequest, "See /swagger for what this service takes.");
    public static RefusalKind QueryUnreadable { get; } = Add("query-unreadable", "request", Fate.BadRequest, At.AnyRequest, "See /swagger for this list's filters; pages: after, limit.");
    public static RefusalKind JobUnknown { get; } = Add("job-unknown", "request", Fate.NotFound, At.Deliveries, "Check the id; it is the 'id' of the answer to the upload.");
    public static RefusalKind NothingRecorded { get; } = Add("nothing-recorded", "request", Fate.NotFound, At.Log, "Check the id; GET /v1/deliveries/{id} lists deliveries and pieces.");
    public static RefusalKind LogEntryUnknown { get; } = Add("log-entry-unknown", "request", Fate.NotFound, At.Log, "Numbers run from 1 to the head that GET /v1/log/verification tells.");
    public static RefusalKind OriginalsNotPermitted { get; } = Add("originals-not-permitted", "request", Fate.Forbidden, At.Measuring, "Leave 'original' out, or use an API key that is configured with MayReadOriginals.");
    public static RefusalKind PhotoMissing { get; } = Add("photo-missing", "request", Fate.BadRequest, At.Measuring, FormWanted);
    public static RefusalKind RequestUnreadable { get; } = Add("request-unreadable", "request", Fate.BadRequest, At.Measuring | At.Log, "Send JSON such as {\"view\":\"end\",\"scale\":{\"kind\":\"auto\"}}; /swagger lists every member.");
    public static RefusalKind RuleBookIdDiffers { get; } = Add("rule-book-id-differs", "request", Fate.Unprocessable, At.RuleBooks, "Make the two the same.");
    public static RefusalKind MultipartExpected { get; } = Add("multipart-expected", "request", Fate.UnsupportedMedia, At.Measuring | At.Uploading, "Send the photos, or one zip of them, as file parts named 'photos'.");
    public static RefusalKind MultipartBroken { get; } = Add("multipart-broken", "request", Fate.BadRequest, At.Measuring | At.Uploading, "Send multipart/form-data with the photos as file parts.");
    public static RefusalKind PhotosMissing { get; } = Add("photos-missing", "request", Fate.BadRequest, At.Uploading, "Send the photos, or one zip of them, as file parts named 'photos'.");
    public static RefusalKind ZipNotAlone { get; } = Add("zip-not-alone", "request", Fate.BadRequest, At.Uploading, "Send photos, or one zip; a manifest may go with either.");
    public static RefusalKind PartUnknown { get; } = Add("part-unknown", "request", Fate.BadRequest, At.Uploading, "Send photos as file parts, and a manifest as 'manifest'.");
    public static RefusalKind ManifestTwice { get; } = Add("manifest-twice", "request", Fate.BadRequest, At.Uploading, "Send one manifest.");
    public static RefusalKind TooManyPhotos { get; } = Add("too-many-photos", "request", Fate.TooLarge, At.Uploading, "Send them in several uploads.");
    public static RefusalKind UploadTooLarge { get; } = Add("upload-too-large", "request", Fate.TooLarge, At.Uploading, "Send the photos in several uploads.");
    public static RefusalKind TooManyParts { get; } = Add("too-many-parts", "request", Fate.BadRequest, At.Measuring, FormWanted);
    public static RefusalKind PartTwice { get; } = Add("part-twice", "request", Fate.BadRequest, At.Measuring, FormWanted);
    public static RefusalKind RequestMissing { get; } = Add("request-missing", "request", Fate.BadRequest, At.Measuring, FormWanted);
    public static RefusalKind PartTooLarge { get; } = Add("part-too-large", "request", Fate.TooLarge, At.Measuring, "Send the photo as part 'photo'.");
    public static RefusalKind ZipBroken { get; } = Add("zip-broken", "request", Fate.Unprocessable, At.Uploading, "Pack it again, or send the photos as they are.");
    public static RefusalKind ZipTooManyEntries { get; } = Add("zip-too-many-entries", "request", Fate.Unprocessable, At.Uploading, "Send the photos in several zips.");
    public static RefusalKind ZipNested { get; } = Add("zip-nested", "request", Fate.Unprocessable, At.Uploading, "Pack the photos themselves.");
    public static RefusalKind ZipBomb { get; } = Add("zip-bomb", "request", Fate.Unprocessable, At.Uploading, "Photos do not pack like that; leave the file out.");
    public static RefusalKind ZipEncrypted { get; } = Add("zip-encrypted", "request", Fate.Unprocessable, At.Uploading, "Pack the photos without a password.");
    public static RefusalKind ZipPath { get; } = Add("zip-path", "request", Fate.Unprocessable, At.Uploading, "Pack the photos with plain names.");
    public static RefusalKind ZipLink { get; } = Add("zip-link", "request", Fate.Unprocessable, At.Uploading, "Pack the photo itself.");

    // Sorting: where a delivery's photo belongs.
    public static RefusalKind PhotoUnsorted { get; } = Add("photo-unsorted", "sorting", Fate.Unprocessable, At.Uploading, Assign);
    public static RefusalKind PhotoPlacesDisagree { get; } = Add("photo-places-disagree", "sorting", Fate.Unprocessable, At.Uploading, Assign);

    // Decisions.
    public static RefusalKind PieceAtWork { get; } = Add("piece-at-work", "decision", Fate.Conflict, At.Decisions, "Wait until the delivery's photos are done with: GET /v1/jobs/{id}.");
    public static RefusalKind OverrideNeeded { get; } = Add("override-needed", "decision", Fate.Unprocessable, At.Decisions, "Enter hand measurements that settle it, or send \"override\":true with a reason, which stays on the record.");
    public static RefusalKind OverrideNotNeeded { get; } = Add("override-not-needed", "decision", Fate.Unprocessable, At.Decisions, "Send it without \"override\".");
    public static RefusalKind ReasonMissing { get; } = Add("reason-missing", "decision", Fate.Unprocessable, At.Decisions, "Send \"reason\".");

    // Records.
    public static RefusalKind RecordsNotWhole { get; } = Add("records-not-whole", "records", Fate.OurFault, At.CommandLine, "Nothing was changed. Use another backup, or find out what happened to these records.");
    public static RefusalKind CopyFailed { get; } = Add("copy-failed", "records", Fate.OurFault, At.CommandLine, "Nothing was changed. Check the disk, the rights and the program's version.");

    // The service itself.
    public static RefusalKind InternalError { get; } = Add("internal-error", "service", Fate.OurFault, At.AnyRequest, "Try once more; if it fails again, tell whoever runs the service, with the time.");
    public static RefusalKind Busy { get; } = Add("busy", "service", Fate.TooBusy, At.Measuring | At.Log | At.Decisions, "Try again after the seconds given in Retry-After.");
    public static RefusalKind DeadlineExceeded { get; } = Add("deadline-exceeded", "service", Fate.Unavailable, At.Measuring | At.Log | At.Decisions, "Try again; if it fails again, send a smaller photo.");
    public static RefusalKind RuleBookMissing { get; } = Add("rule-book-missing", "service", Fate.OurFault, At.Log | At.Decisions, "Use the program's version that brought it, or restore the records.");
    public static RefusalKind RuleBookNotOnLog { get; } = Add("rule-book-not-on-log", "service", Fate.OurFault, At.CommandLine, "The service does not start with it: somebody changed the records. Keep the folder; grainvision rebuild makes its tables anew from the log, a backup has them as they were.");
    public static RefusalKind PhotoLost { get; } = Add("photo-lost", "service", Fate.OurFault, At.Uploading | At.Log | At.Decisions, "Restore it from a backup; grainvision verify-log --photos names all that are missing.");

    /// <summary>By stage, in the order of the lines above.</summary>
    public static IReadOnlyCollection<RefusalKind> All => ByCode.Values;

    /// <summary>The kind of that code, or null.</summary>
    public static RefusalKind? Find(string code) => ByCode.GetValueOrDefault(code);

    private static RefusalKind Add(string code, string stage, RefusalFate fate, RefusalPlaces places, string advice)
    {
        var kind = new RefusalKind(code, stage, fate, places, advice);
        ByCode.Add(code, kind);
        return kind;
    }
}
