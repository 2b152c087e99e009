using System.Text.Json.Serialization;

namespace SweepRig.Analysis.Uncertainty;

/// <summary>Distribution that stands for what is known of an error (JCGM 100:2008, 4.3; JCGM 101:2008, table 1).</summary>
[JsonConverter(typeof(JsonStringEnumConverter<ErrorShape>))]
public enum ErrorShape
{
    /// <summary>Normal; with few degrees of freedom Student's, scaled and shifted.</summary>
    [JsonStringEnumMemberName("normal")]
    Normal,

    /// <summary>Anywhere between two limits alike; its standard uncertainty is half the width over √3.</summary>
    [JsonStringEnumMemberName("rectangular")]
    Rectangular,

    /// <summary>Half the width over √6.</summary>
    [JsonStringEnumMemberName("triangular")]
    Triangular,

    /// <summary>Arc sine, U-shaped: a quantity that swings as a sine between two limits; half the width over √2.</summary>
    [JsonStringEnumMemberName("arcsine")]
    Arcsine,
}
