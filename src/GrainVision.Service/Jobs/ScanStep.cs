using Wolverine.Attributes;
using Wolverine.Runtime;
using Wolverine.Runtime.Handlers;

namespace GrainVision.Service.Jobs;

/// <summary>
/// The durable job: one step of work on one photo of a delivery. Which photo is decided when the step is taken, so that ends come before
/// faces whatever the order of the messages. There is one message for every step that waits; a message too many finds nothing to do.
/// </summary>
[MessageIdentity("scan-step")] // on disk: must outlive a renaming
public sealed record ScanStep(string DeliveryId);

/// <summary>Receives steps from the job engine. Registered by hand: a handler that the engine finds itself has to be compiled at the start.</summary>
internal sealed class ScanStepHandler : MessageHandler<ScanStep>
{
    protected override Task HandleAsync(ScanStep message, MessageContext context, CancellationToken cancellation) =>
        context.Runtime.Services.GetRequiredService<PhotoJobRunner>().TakeStep(message.DeliveryId, cancellation);
}
