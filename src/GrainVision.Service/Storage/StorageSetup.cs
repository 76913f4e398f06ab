using GrainVision.Records.Opening;
using GrainVision.Records.Photos;
using GrainVision.Records.Schema;
using GrainVision.Service.Guard;
using Microsoft.Extensions.Options;

namespace GrainVision.Service.Storage;

/// <summary>Wires up the data folder: one service at a time, its database, its photos and pictures.</summary>
internal static class StorageSetup
{
    public static void AddStorage(this WebApplicationBuilder builder)
    {
        var services = builder.Services;
        services.AddOptions<RecordsOptions>().BindConfiguration(RecordsOptions.Section).ValidateDataAnnotations().ValidateOnStart();
        services.AddSingleton(TimeProvider.System);
        services.AddSingleton(s => FolderLock.TryTake(s.Records().FullFolder)
            ?? throw new StartRefusedException($"another service uses the data folder {s.Records().FullFolder}. Stop it, or give this one a folder of its own (GrainVision__Records__Folder)."));
        services.AddSingleton(s => RecordsOpener.Open(s.Records().DatabaseFile));
        services.AddSingleton(s => new ContentStores(new ContentAddressedStore(s.Records().In("photos")), new ContentAddressedStore(s.Records().In("pictures"))));
    }

    /// <summary>Takes the data folder for this process, before anything is read or written there.</summary>
    /// <exception cref="StartRefusedException">Another service has it.</exception>
    public static void LockDataFolder(this WebApplication app) => app.Services.GetRequiredService<FolderLock>();

    private static RecordsOptions Records(this IServiceProvider services) => services.GetRequiredService<IOptions<RecordsOptions>>().Value;
}
