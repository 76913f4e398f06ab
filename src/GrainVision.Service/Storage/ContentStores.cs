using GrainVision.Records.Photos;

namespace GrainVision.Service.Storage;

/// <summary>The two folders of files: photos as received (never served) and annotated pictures.</summary>
internal sealed record ContentStores(ContentAddressedStore Photos, ContentAddressedStore Pictures);
