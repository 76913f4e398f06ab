using GrainVision.Records.Deliveries;
using Wolverine.Attributes;
using Wolverine.Runtime;
using Wolverine.Runtime.Handlers;

namespace GrainVision.Service.Jobs;

/// <summary>Find out where a photo belongs; an end is measured in the same go.</summary>
[MessageIdentity("sort-photo")] // on disk: must outlive a renaming
public sealed record SortPhoto(string DeliveryId, string Sha256);

/// <summary>Measure a photo where it was placed.</summary>
[MessageIdentity("measure-photo")] // on disk: must outlive a renaming
public sealed record MeasurePhoto(string DeliveryId, string Sha256);

/// <summary>
/// A step of a delivery as earlier versions queued it, without naming the photo. A data folder of theirs may hold some: the first of each delivery has all
/// that waits there queued by name.
/// </summary>
[MessageIdentity("scan-step")] // on disk: must outlive a renaming
public sealed record ScanStep(string DeliveryId);

/// <summary>Receives photos to sort. Registered by hand: a handler that the engine finds itself has to be compiled at the start.</summary>
internal sealed class SortPhotoHandler : MessageHandler<SortPhoto>
{
    protected override Task HandleAsync(SortPhoto message, MessageContext context, CancellationToken cancellation) =>
        context.Runtime.Services.GetRequiredService<PhotoJobRunner>()
            .Run(new PhotoStep(PhotoStepKind.Sort, message.DeliveryId, message.Sha256), context.Envelope!.Attempts, cancellation);
}

/// <summary>Receives photos to measure.</summary>
internal sealed class MeasurePhotoHandler : MessageHandler<MeasurePhoto>
{
    protected override Task HandleAsync(MeasurePhoto message, MessageContext context, CancellationToken cancellation) =>
        context.Runtime.Services.GetRequiredService<PhotoJobRunner>()
            .Run(new PhotoStep(PhotoStepKind.Measure, message.DeliveryId, message.Sha256), context.Envelope!.Attempts, cancellation);
}

/// <summary>Receives steps of older versions.</summary>
internal sealed class ScanStepHandler : MessageHandler<ScanStep>
{
    protected override Task HandleAsync(ScanStep message, MessageContext context, CancellationToken cancellation) =>
        context.Runtime.Services.GetRequiredService<PhotoJobRunner>().QueueAllOnce(message.DeliveryId);
}
