using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace SweepRig.Service.Watching.Alarms;

/// <summary>
/// Signs what is posted, so that a receiver can tell it from what others post: RFC 9421 (HTTP Message Signatures) with hmac-sha256 (3.3.3), over the method, the target, the type and the digest of
/// the body (RFC 9530). Pure.
/// </summary>
public static class MessageSignature
{
    public const string Label = "sweeprig";

    private const string Covered = "(\"@method\" \"@target-uri\" \"content-type\" \"content-digest\")";

    /// <summary>Value of Content-Digest (RFC 9530, 2).</summary>
    public static string Digest(ReadOnlySpan<byte> body) => $"sha-256=:{Convert.ToBase64String(SHA256.HashData(body))}:";

    /// <summary>Value of Signature-Input (RFC 9421, 4.1).</summary>
    public static string Input(string keyId, DateTimeOffset created) => $"{Label}={Parameters(keyId, created)}";

    /// <summary>Value of Signature (RFC 9421, 4.2).</summary>
    public static string Sign(string secret, string keyId, DateTimeOffset created, Uri target, string contentType, string digest) =>
        $"{Label}=:{Mac(Encoding.UTF8.GetBytes(secret), Base([("@method", "POST"), ("@target-uri", target.AbsoluteUri), ("content-type", contentType), ("content-digest", digest)], Parameters(keyId, created)))}:";

    /// <summary>The signature base (RFC 9421, 2.5).</summary>
    public static string Base(IEnumerable<(string Name, string Value)> components, string parameters) =>
        string.Join('\n', components.Select(c => $"\"{c.Name}\": {c.Value}").Append($"\"@signature-params\": {parameters}"));

    /// <summary>HMAC with SHA-256, in base 64 (RFC 9421, 3.3.3).</summary>
    public static string Mac(byte[] key, string signatureBase) => Convert.ToBase64String(HMACSHA256.HashData(key, Encoding.UTF8.GetBytes(signatureBase)));

    private static string Parameters(string keyId, DateTimeOffset created)
    {
        // A string of RFC 8941 (3.3.3) has printable ASCII alone, with two signs escaped.
        var quoted = string.Concat(keyId.Select(c => c is < ' ' or > '~' ? "_" : c is '"' or '\\' ? $"\\{c}" : c.ToString()));
        return string.Create(CultureInfo.InvariantCulture, $"{Covered};created={created.ToUnixTimeSeconds()};keyid=\"{quoted}\";alg=\"hmac-sha256\"");
    }
}
