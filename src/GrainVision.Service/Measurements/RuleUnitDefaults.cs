using System.Text.Json;
using System.Text.Json.Nodes;
using GrainVision.Grading.Findings;
using GrainVision.Measuring;
using GrainVision.Service.Uploads;
using Microsoft.Extensions.Options;

namespace GrainVision.Service.Measurements;

/// <summary>What lies beside the wood in this shop. Section <c>GrainVision:Scale</c>.</summary>
public sealed class ScaleOptions
{
    public const string Section = "GrainVision:Scale";

    /// <summary>
    /// What every steel rule of the shop is graduated in: mm or inch. Null where that is not known; then a rule divided by fives and tens is taken for
    /// millimetres and the verdict is held.
    /// </summary>
    public RuleUnit? RuleUnit { get; init; }
}

/// <summary>
/// Puts the shop's rule unit into requests that leave it open, before they are measured and recorded: the record shows what was told, and a replay tells
/// the same whatever the setting has become.
/// </summary>
internal sealed class RuleUnitDefaults(IOptions<ScaleOptions> options)
{
    public Upload Tell(Upload upload)
    {
        if (options.Value.RuleUnit is not { } unit)
            return upload;
        ScaleRequest told;
        switch (upload.Request.Scale)
        {
            case null or AutoScale { RuleUnit: null }:
                told = new AutoScale(unit);
                break;
            case SteelRuleScale { Unit: null }:
                told = new SteelRuleScale(unit);
                break;
            default:
                return upload;
        }

        // Only what is told is added: members that nobody knows stay, so that a replay warns of them too.
        var json = JsonNode.Parse(upload.RequestJson)!.AsObject();
        var scale = JsonSerializer.SerializeToNode(told, ContractJson.Options)!.AsObject();
        if (json["scale"] is not JsonObject sent)
            json["scale"] = scale;
        else
            sent[told is SteelRuleScale ? "unit" : "ruleUnit"] = JsonSerializer.SerializeToNode(unit, ContractJson.Options);
        return upload with { Request = upload.Request with { Scale = told }, RequestJson = json.ToJsonString(ContractJson.Options) };
    }
}
