using System.Text.Json.Nodes;
using Microsoft.AspNetCore.OpenApi;
using Microsoft.OpenApi;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Api;

/// <summary>The OpenAPI document: REST as mapped, and the hub's messages as schemas beside it.</summary>
public static class ApiDocument
{
    public const string Name = "openapi";

    private static readonly Type[] HubMessages =
        [typeof(BenchView), typeof(RunStartedView), typeof(LiveBlockView), typeof(PassEndedView), typeof(RunEndedView), typeof(RoundChangedView), typeof(NightChangedView), typeof(RigListView)];

    public static void Describe(OpenApiOptions options)
    {
        options.AddDocumentTransformer(async (document, context, cancellationToken) =>
        {
            document.Info = new()
            {
                Title = "SweepRig",
                Version = "1",
                Description = "One bench: its rigs, its runs, and the operator's acts. Messages of the hub at /hub/bench?rig=NAME are among the schemas.",
            };
            // Host and port differ from bench to bench; the document does not.
            document.Servers = [];
            foreach (var type in HubMessages)
            {
                var schema = await context.GetOrCreateSchemaAsync(type, null, cancellationToken);
                document.AddComponent(type.Name, schema);
            }
        });
        options.AddOperationTransformer((operation, context, _) =>
        {
            if (!context.Description.ActionDescriptor.EndpointMetadata.OfType<AskedRig.ConcernsRig>().Any()) return Task.CompletedTask;
            (operation.Parameters ??= []).Add(new OpenApiParameter
            {
                Name = AskedRig.Parameter, In = ParameterLocation.Query, Description = "Name of the rig, as in /api/rigs; none for the first.", Schema = new OpenApiSchema { Type = JsonSchemaType.String },
            });
            return Task.CompletedTask;
        });
        options.AddSchemaTransformer((schema, context, _) =>
        {
            var allowed = context.JsonPropertyInfo?.AttributeProvider?.GetCustomAttributes(typeof(OneOfAttribute), false)
                .OfType<OneOfAttribute>().FirstOrDefault();
            if (allowed is not null) schema.Enum = [.. allowed.Words.Select(w => (JsonNode)JsonValue.Create(w)!)];
            return Task.CompletedTask;
        });
    }
}
