using System.Globalization;
using System.Text.Json;
using Microsoft.AspNetCore.Diagnostics;
using Microsoft.AspNetCore.Http.Metadata;
using SweepRig.Domain;
using SweepRig.Domain.Logging;

namespace SweepRig.Service.Api;

/// <summary>Makes problem details of what an endpoint could not read, and of what broke.</summary>
public sealed class FaultAnswers(ILogger<FaultAnswers> logger) : IExceptionHandler
{
    public async ValueTask<bool> TryHandleAsync(HttpContext httpContext, Exception exception, CancellationToken cancellationToken)
    {
        var problem = exception switch
        {
            RefusedRequestException refused => Problems.Refused(refused.Refusals),
            BadHttpRequestException { StatusCode: StatusCodes.Status400BadRequest, InnerException: JsonException json } =>
                Problems.Of(StatusCodes.Status422UnprocessableEntity, "refused", "Refused as asked", [BodyFault.Of(json)]),
            BadHttpRequestException when ParameterFaults(httpContext) is { Count: > 0 } faults =>
                Problems.Of(StatusCodes.Status422UnprocessableEntity, "refused", "Refused as asked", faults),
            BadHttpRequestException bad => Problems.Of(bad.StatusCode, "bad-request", "Not understood",
                [new Refusal("bad-request", "", "this request", bad.Message.TrimEnd('.'), "See /api/openapi.json.")]),
            ObjectDisposedException => Problems.Of(StatusCodes.Status503ServiceUnavailable, "stopping", "The service is stopping", "The service is stopping and has made the rig safe.", []),
            IOException => Broken(exception, StatusCodes.Status503ServiceUnavailable, "record-not-available", "The record is not available", exception.Message),
            _ => Broken(exception, StatusCodes.Status500InternalServerError, "unexpected", "SweepRig bug",
                "SweepRig bug: the service failed in a way that nobody foresaw. The rig is not affected. The log has the details."),
        };
        await problem.ExecuteAsync(httpContext);
        return true;
    }

    private Microsoft.AspNetCore.Http.HttpResults.JsonHttpResult<Contract.ProblemView> Broken(Exception fault, int status, string kind, string title, string detail)
    {
        logger.LogError(LogEvents.RequestFailed, fault, "{Title}", title);
        return Problems.Of(status, kind, title, detail, []);
    }

    /// <summary>Parameters of the request that are not of the kind that the endpoint declares.</summary>
    private static List<Refusal> ParameterFaults(HttpContext context)
    {
        var faults = new List<Refusal>();
        foreach (var parameter in context.Features.Get<IExceptionHandlerFeature>()?.Endpoint?.Metadata.GetOrderedMetadata<IParameterBindingMetadata>() ?? [])
        {
            var type = Nullable.GetUnderlyingType(parameter.ParameterInfo.ParameterType) ?? parameter.ParameterInfo.ParameterType;
            var given = context.Request.Query[parameter.Name];
            if (type == typeof(double) && given.Count > 0 && (given.Count > 1 || !double.TryParse(given[0], NumberStyles.Float, CultureInfo.InvariantCulture, out _)))
                faults.Add(new("not-a-number", "/" + parameter.Name, $"{parameter.Name} \"{given}\"", "one number in the unit that the name ends with", $"Give {parameter.Name} once, in digits, with a point before decimals."));
            if (type != typeof(int) && type != typeof(long)) continue;
            var largest = type == typeof(int) ? int.MaxValue : long.MaxValue;
            if (given.Count == 0 || (given.Count == 1 && long.TryParse(given[0], NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var number) && Math.Abs(number) <= largest)) continue;
            faults.Add(new("not-a-whole-number", "/" + parameter.Name, $"{parameter.Name} \"{given}\"", "one whole number", $"Give {parameter.Name} once, in digits."));
        }
        return faults;
    }
}
