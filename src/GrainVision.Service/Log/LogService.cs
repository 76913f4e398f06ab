using GrainVision.Records.Log;
using GrainVision.Records.Photos;
using GrainVision.Records.Schema;
using GrainVision.Records.Verification;
using GrainVision.Service.Http;
using GrainVision.Service.Storage;
using Microsoft.Extensions.Options;

namespace GrainVision.Service.Log;

/// <summary>Verifies the log beside the service's other work: one at a time, since it reads everything.</summary>
internal sealed class LogService(RecordsDatabase database, IOptions<RecordsOptions> records) : IDisposable
{
    private readonly SemaphoreSlim _turn = new(1);

    public async Task<LogVerification> Verify(bool withPhotos, CancellationToken callerGone)
    {
        await _turn.WaitAsync(callerGone);
        try
        {
            var photos = withPhotos ? new PhotoFolder(records.Value.FullFolder) : null;
            return await Task.Run(() => DatabaseVerifier.Verify(database, null, photos is null ? null : photos.Problem, callerGone), callerGone);
        }
        finally
        {
            _turn.Release();
        }
    }

    public void Dispose() => _turn.Dispose();
}
