using System.Text.Json;
using System.Text.Json.Nodes;
using GrainVision.Grading.Findings;
using GrainVision.Measuring;
using Microsoft.Extensions.Options;

namespace GrainVision.Service.Measurements;

/// <summary>
/// Puts the shop's rule unit into requests that leave it open, before they are measured and recorded: the record shows what was told, and a replay tells
/// the same whatever the setting has become.
/// </summary>
internal sealed class RuleUnitDefaults(IOptions<ScaleOptions> options)
{
    public MeasuringOrder Tell(MeasuringOrder order)
    {
        if (options.Value.RuleUnit is not { } unit)
            return order;
        ScaleRequest told;
        switch (order.Request.Scale)
        {
            case null or AutoScale { RuleUnit: null }:
                told = new AutoScale(unit);
                break;
            case SteelRuleScale { Unit: null }:
                told = new SteelRuleScale(unit);
                break;
            default:
                return order;
        }

        // Only what is told is added: members that nobody knows stay, so that a replay warns of them too.
        var json = JsonNode.Parse(order.RequestJson)!.AsObject();
        var scale = JsonSerializer.SerializeToNode(told, ContractJson.Options)!.AsObject();
        if (json["scale"] is not JsonObject sent)
            json["scale"] = scale;
        else
            sent[told is SteelRuleScale ? "unit" : "ruleUnit"] = JsonSerializer.SerializeToNode(unit, ContractJson.Options);
        return order with { Request = order.Request with { Scale = told }, RequestJson = json.ToJsonString(ContractJson.Options) };
    }
}
