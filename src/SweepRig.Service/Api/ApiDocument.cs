using System.Text.Json.Nodes;
using Microsoft.AspNetCore.OpenApi;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Api;

/// <summary>The OpenAPI document: REST as mapped, and the hub's messages as schemas beside it.</summary>
public static class ApiDocument
{
    public const string Name = "openapi";

    private static readonly Type[] HubMessages =
        [typeof(BenchView), typeof(RunStartedView), typeof(LiveBlockView), typeof(PassEndedView), typeof(RunEndedView), typeof(RoundChangedView), typeof(NightChangedView)];

    public static void Describe(OpenApiOptions options)
    {
        options.AddDocumentTransformer(async (document, context, cancellationToken) =>
        {
            document.Info = new()
            {
                Title = "SweepRig",
                Version = "1",
                Description = "One bench: its state, its runs, and the operator's acts. Messages of the hub at /hub/bench are among the schemas.",
            };
            // Host and port differ from bench to bench; the document does not.
            document.Servers = [];
            foreach (var type in HubMessages)
            {
                var schema = await context.GetOrCreateSchemaAsync(type, null, cancellationToken);
                document.AddComponent(type.Name, schema);
            }
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
