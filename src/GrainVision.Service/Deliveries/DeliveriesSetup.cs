using GrainVision.Records.Deliveries;

namespace GrainVision.Service.Deliveries;

/// <summary>Wires up taking deliveries and their photos in.</summary>
internal static class DeliveriesSetup
{
    public static void AddDeliveries(this WebApplicationBuilder builder)
    {
        builder.Services.AddOptions<DeliveryOptions>().BindConfiguration(DeliveryOptions.Section).ValidateDataAnnotations().ValidateOnStart();
        builder.Services.AddSingleton<DeliveryStore>();
        builder.Services.AddSingleton<DeliveryPhotoStore>();
        builder.Services.AddSingleton<DeliveryService>();
    }
}
