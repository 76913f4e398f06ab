using System.Net.Http.Json;
using System.Text.Json;
using GrainVision.Grading.ByHand;
using GrainVision.Grading.Deliveries;
using GrainVision.Grading.Findings;

namespace GrainVision.Synthesis;

/// <summary>The simulated inspector walks round the demo's delivery: asks the service what is left, answers from the truth, until nothing is left that it can tell.</summary>
public static class DemoAnswers
{
    /// <summary>6 rounds: an answer may bring one more question, of the same mark or the same reading.</summary>
    private const int MostRounds = 6;

    /// <summary>Enters the answers over HTTP; the service sees a person like any other.</summary>
    /// <param name="server">Its address.</param>
    /// <param name="delivery">Id of the delivery.</param>
    /// <param name="knownFile"><c>known.json</c> of the delivery.</param>
    /// <param name="output">Told what was asked and answered.</param>
    public static async Task<int> Run(Uri server, string delivery, string knownFile, TextWriter output)
    {
        ArgumentNullException.ThrowIfNull(output);
        var known = JsonSerializer.Deserialize<Dictionary<int, KnownPiece>>(await File.ReadAllTextAsync(knownFile), ContractJson.Options)!;
        var inspectors = known.ToDictionary(k => k.Key, k => new TruthfulInspector(k.Value));
        var photos = known.Values.SelectMany(k => k.Photos).ToDictionary(p => p.Sha256, StringComparer.Ordinal);
        using var http = new HttpClient { BaseAddress = server };
        var asked = new Dictionary<int, int>();
        for (var round = 0; round < MostRounds; round++)
        {
            var report = (await http.GetFromJsonAsync<DeliveryReport>(new Uri($"/v1/deliveries/{Uri.EscapeDataString(delivery)}/report.json", UriKind.Relative), ContractJson.Options))!;
            var entered = 0;
            foreach (var piece in report.Pieces.Where(p => inspectors.ContainsKey(p.Piece.Number)))
            {
                List<PictureInHand> pictures = [.. piece.Findings.Photos.Where(p => photos.ContainsKey(p.Measurement.Photo.Sha256)).Select(p => new PictureInHand(p.Measurement, photos[p.Measurement.Photo.Sha256]))];
                var answers = piece.Questions.Select(q => inspectors[piece.Piece.Number].Answer(q, pictures)).Where(a => a.Count > 0).ToList();
                if (answers.Count == 0)
                    continue;
                await Enter(http, piece.Piece.Id, [.. answers.SelectMany(a => a)]);
                entered += answers.Count;
                asked[piece.Piece.Number] = asked.GetValueOrDefault(piece.Piece.Number) + answers.Count;
            }

            if (entered == 0)
                break;
        }

        foreach (var (piece, questions) in asked.OrderBy(a => a.Key))
            output.WriteLine($"Piece {piece}: {questions} questions answered.");
        return 0;
    }

    private static async Task Enter(HttpClient http, string piece, IReadOnlyList<HandFinding> findings)
    {
        using var answer = await http.PostAsJsonAsync(new Uri($"/v1/pieces/{Uri.EscapeDataString(piece)}/findings", UriKind.Relative), new { findings }, ContractJson.Options);
        if (!answer.IsSuccessStatusCode)
            throw new InvalidOperationException($"Piece {piece}: {(int)answer.StatusCode}: {await answer.Content.ReadAsStringAsync()}");
    }
}
