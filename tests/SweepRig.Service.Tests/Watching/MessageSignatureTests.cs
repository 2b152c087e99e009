using System.Text;
using SweepRig.Service.Watching.Alarms;

namespace SweepRig.Service.Tests.Watching;

public sealed class MessageSignatureTests
{
    /// <summary>RFC 9421, B.2.5, with the shared secret of B.1.5: the values written down from memory of the document, and found again here by HMAC.</summary>
    [Fact]
    public void The_example_of_the_standard_comes_out()
    {
        var key = Convert.FromBase64String("uzvJfB4u3N0Jy4T7NZ75MDVcr8zSTInedJtkgcu46YW4XByzNJjxBdtjUkdJPBtbmHhIDi6pcl8jsasjlTMtDQ==");
        var text = MessageSignature.Base(
            [("date", "Tue, 20 Apr 2021 02:07:55 GMT"), ("@authority", "example.com"), ("content-type", "application/json")],
            "(\"date\" \"@authority\" \"content-type\");created=1618884473;keyid=\"test-shared-secret\"");
        Assert.Equal("pxcQw6G3AjtMBQjwo8XzkZf/bws5LelbaMk5rGIGtE8=", MessageSignature.Mac(key, text));
    }

    /// <summary>RFC 9530, 2 and B: the SHA-256 of {"hello": "world"} (from memory of the document).</summary>
    [Fact]
    public void The_digest_of_the_standard_comes_out() =>
        Assert.Equal("sha-256=:X48E9qOokqqrvdts8nOJRJN3OWDUoyWxBf7kbu9DBPE=:", MessageSignature.Digest(Encoding.UTF8.GetBytes("{\"hello\": \"world\"}")));

    [Fact]
    public void The_name_of_a_key_cannot_end_the_string_that_it_stands_in() =>
        Assert.Equal("sweeprig=(\"@method\" \"@target-uri\" \"content-type\" \"content-digest\");created=0;keyid=\"a\\\"b\\\\c_\";alg=\"hmac-sha256\"", MessageSignature.Input("a\"b\\cä", DateTimeOffset.UnixEpoch));
}
