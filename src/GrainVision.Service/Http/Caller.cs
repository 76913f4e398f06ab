namespace GrainVision.Service.Http;

/// <summary>Who is calling, for the records and for idempotency keys.</summary>
internal static class Caller
{
    /// <summary>Name of everybody where no keys are configured: only this machine can call.</summary>
    public const string Local = "local";

    private static readonly object Slot = new();

    private static readonly object OriginalsSlot = new();

    public static string NameOf(HttpContext http) => http.Items[Slot] as string ?? Local;

    public static void SetName(HttpContext http, string name) => http.Items[Slot] = name;

    /// <summary>True where the caller's key was given the right to see photos as they were received, position data and all.</summary>
    public static bool MayReadOriginals(HttpContext http) => http.Items.ContainsKey(OriginalsSlot);

    public static void LetReadOriginals(HttpContext http) => http.Items[OriginalsSlot] = true;
}
