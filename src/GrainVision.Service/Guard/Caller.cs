namespace GrainVision.Service.Guard;

/// <summary>Who is calling, for the records and for idempotency keys.</summary>
internal static class Caller
{
    /// <summary>Name of everybody where no keys are configured: only this machine can call.</summary>
    public const string Loopback = "loopback";

    private static readonly object Slot = new();

    public static string NameOf(HttpContext http) => http.Items[Slot] as string ?? Loopback;

    public static void SetName(HttpContext http, string name) => http.Items[Slot] = name;
}
