using System.Security.Cryptography;
using Scalar.AspNetCore;
using SweepRig.Service.Hosting;

namespace SweepRig.Service.Api;

/// <summary>The API as a page to read and to try. Its script comes from this service, and nothing of it calls elsewhere.</summary>
public static class ApiReference
{
    public const string Path = "/api/reference";

    public static void MapApiReference(this IEndpointRouteBuilder app) =>
        app.MapScalarApiReference(Path, (page, context) =>
        {
            // The page starts itself with a script of its own, which only this answer's nonce lets run.
            var nonce = Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(16));
            context.Response.Headers.ContentSecurityPolicy = LoopbackGuard.PolicyOf(context.Request.Host, $"'nonce-{nonce}'");
            page.WithTitle("SweepRig API").AddDocument(ApiDocument.Name, "SweepRig", $"/api/{ApiDocument.Name}.json")
                .WithNonce(nonce).DisableDefaultFonts().DisableTelemetry().DisableAgent().DisableMcp()
                .HideDeveloperTools().HideClientButton();
        }).ExcludeFromDescription();
}
