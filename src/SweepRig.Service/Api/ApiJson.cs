using System.Text.Json;
using System.Text.Json.Serialization;

namespace SweepRig.Service.Api;

/// <summary>How JSON is read and written, on REST and on the hub alike.</summary>
public static class ApiJson
{
    public static void Apply(JsonSerializerOptions options)
    {
        options.PropertyNamingPolicy = JsonNamingPolicy.CamelCase;
        options.PropertyNameCaseInsensitive = false;
        options.NumberHandling = JsonNumberHandling.Strict;
        options.UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow;
        options.AllowDuplicateProperties = false;
        options.RespectNullableAnnotations = true;
        options.RespectRequiredConstructorParameters = true;
    }
}
