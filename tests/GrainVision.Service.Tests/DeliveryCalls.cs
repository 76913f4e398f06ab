using System.IO.Compression;
using System.Net;
using System.Net.Http.Json;
using System.Text;
using System.Text.Json;

namespace GrainVision.Service.Tests;

/// <summary>What the tests of deliveries send, and what they wait for.</summary>
internal static class DeliveryCalls
{
    /// <summary>Two pieces; every photo is taken to have 8 px a mm, so that the plates of faces can be measured.</summary>
    public const string TwoPieces =
        """{"supplier":"Invented Mill","orderNumber":"T-1","species":"white-spruce","ruleBooks":["spar","shop-order"],"scale":{"kind":"pitch","pixelsPerMm":8},"pieces":[{"number":1,"nominalQuarters":8,"widthIn":6,"lengthFt":12},{"number":2,"nominalQuarters":8,"widthIn":6,"lengthFt":12}]}""";

    /// <summary>Drawn for this project: an end with the piece card "piece 1, end A" beside it.</summary>
    public static byte[] EndWithCard => Calls.Fixture("photos/drawn-end-piece-card-1-endA.jpg");

    /// <summary>A face that can be measured; 514 px square.</summary>
    public static byte[] Face => Calls.Fixture(Calls.FacePhoto);

    /// <summary>Another one.</summary>
    public static byte[] OtherFace => Calls.Fixture("photos/face-sourwood-quarter-sawn.jpg");

    public static byte[] NoPhoto => Encoding.ASCII.GetBytes("no photo at all");

    public static StringContent Json(string text) => new(text, Encoding.UTF8, "application/json");

    public static async Task<string> Enter(this HttpClient client, string delivery = TwoPieces)
    {
        using var answer = await client.PostAsync("/v1/deliveries", Json(delivery));
        Assert.True(answer.StatusCode == HttpStatusCode.Created, await answer.Content.ReadAsStringAsync());
        return (await answer.Json()).GetProperty("id").GetString()!;
    }

    public static async Task<HttpResponseMessage> Post(this HttpClient client, string path, HttpContent content, string? key = null)
    {
        using var message = new HttpRequestMessage(HttpMethod.Post, path) { Content = content };
        if (key is not null)
            message.Headers.Add("Idempotency-Key", key);
        return await client.SendAsync(message);
    }

    public static Task<HttpResponseMessage> Send(this HttpClient client, string delivery, params (string Name, byte[] Bytes)[] files) =>
        client.Post($"/v1/deliveries/{delivery}/photos", Form(files));

    /// <summary>Sends photos and waits until all are done with; gives the job.</summary>
    public static async Task<JsonElement> SendAll(this HttpClient client, string delivery, params (string Name, byte[] Bytes)[] files)
    {
        using var sent = await client.Send(delivery, files);
        Assert.True(sent.StatusCode == HttpStatusCode.Accepted, await sent.Content.ReadAsStringAsync());
        return await client.Done(sent.Headers.Location!.ToString());
    }

    public static async Task<JsonElement> Done(this HttpClient client, string job)
    {
        for (var i = 0; i < 600; i++)
        {
            var view = await client.GetFromJsonAsync<JsonElement>(job);
            if (view.GetProperty("state").GetString() == "done")
                return view;
            await Task.Delay(100);
        }

        throw new TimeoutException("The job did not end in a minute.");
    }

    /// <summary>Photos of a delivery, by file name.</summary>
    public static async Task<Dictionary<string, JsonElement>> Photos(this HttpClient client, string delivery) =>
        (await client.GetFromJsonAsync<JsonElement>($"/v1/deliveries/{delivery}")).GetProperty("photos").EnumerateArray().ToDictionary(p => p.Text("fileName")!);

    public static Task<HttpResponseMessage> Assign(this HttpClient client, string delivery, JsonElement photo, string place) =>
        client.PutAsync($"/v1/deliveries/{delivery}/photos/{photo.Text("sha256")}/place", Json(place));

    /// <summary>A text member, by its path; null where it is missing.</summary>
    public static string? Text(this JsonElement element, params string[] path)
    {
        foreach (var name in path)
        {
            if (!element.TryGetProperty(name, out element))
                return null;
        }

        return element.ToString();
    }

    public static MultipartFormDataContent Form(params (string Name, byte[] Bytes)[] files)
    {
        var form = new MultipartFormDataContent();
        foreach (var (name, bytes) in files)
            form.Add(new ByteArrayContent(bytes), "photos", name);
        return form;
    }

    public static byte[] Zip(params (string Name, byte[] Bytes)[] files) => Zip(_ => { }, files);

    public static byte[] Zip(Action<ZipArchiveEntry> mark, params (string Name, byte[] Bytes)[] files)
    {
        using var held = new MemoryStream();
        using (var zip = new ZipArchive(held, ZipArchiveMode.Create, leaveOpen: true))
        {
            foreach (var (name, bytes) in files)
            {
                var made = zip.CreateEntry(name);
                mark(made);
                using var entry = made.Open();
                entry.Write(bytes);
            }
        }

        return held.ToArray();
    }
}
