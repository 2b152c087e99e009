using System.Collections;
using System.Collections.Concurrent;
using System.Diagnostics;
using System.Reflection;

namespace SweepRig.Benchmarks.Mutations;

/// <summary>
/// Runs the facts and theories of some test classes one after the other until one fails: first those that noticed the most changes for the time that they take. It knows what these tests use of xUnit:
/// facts, theories with data of any kind, constructors without arguments, and asynchronous tests.
/// </summary>
internal sealed class MutantTests
{
    /// <summary>A change may leave a test waiting for ever, which is a failure too; a busy machine may not look like one.</summary>
    private static readonly TimeSpan AtLeast = TimeSpan.FromSeconds(60), Baseline = TimeSpan.FromMinutes(10);

    private const int TimesBaseline = 20;

    /// <summary>A test that takes more than this part of all is left for a change that no other notices.</summary>
    private const double QuickPart = 0.02;

    /// <summary>A test by its number in the assembly, which is the same in each copy of it that is loaded.</summary>
    private readonly int[] _tests;

    private readonly ConcurrentDictionary<int, double> _seconds = new();
    private readonly ConcurrentDictionary<int, int> _noticed = new();

    /// <param name="assembly">One that the tests are in.</param>
    /// <param name="namespaces">Theirs.</param>
    public MutantTests(Assembly assembly, IReadOnlyCollection<string> namespaces) =>
        _tests = [.. assembly.GetTypes().Where(t => t is { IsClass: true, IsAbstract: false } && namespaces.Contains(t.Namespace))
            .SelectMany(c => c.GetMethods(BindingFlags.Public | BindingFlags.Instance)).Where(IsTest).Select(m => m.MetadataToken)];

    /// <param name="tests">The assembly with the tests, or a copy.</param>
    /// <param name="quick">True for those alone that take little time.</param>
    /// <returns>The test that failed; null if all passed.</returns>
    /// <exception cref="InvalidOperationException">There is no test.</exception>
    public async Task<MethodInfo?> FirstFailureAsync(Assembly tests, bool quick = false)
    {
        var longest = quick ? QuickPart * _seconds.Values.Sum() : double.PositiveInfinity;
        var ran = 0;
        foreach (var test in _tests.Where(t => _seconds.GetValueOrDefault(t) <= longest).OrderBy(t => _seconds.GetValueOrDefault(t) / (1 + _noticed.GetValueOrDefault(t))))
        {
            var method = (MethodInfo)tests.ManifestModule.ResolveMethod(test)!;
            var since = Stopwatch.GetTimestamp();
            ran++;
            if (!await PassesAsync(method))
            {
                _noticed.AddOrUpdate(test, 1, (_, n) => n + 1);
                return method;
            }
            // The first time, with nothing changed.
            _seconds.TryAdd(test, Stopwatch.GetElapsedTime(since).TotalSeconds);
        }
        return ran > 0 ? null : throw new InvalidOperationException("There are no tests to run against the changes.");
    }

    /// <returns>Whether every case of a test passes.</returns>
    public async Task<bool> PassesAsync(MethodInfo test)
    {
        var limit = _seconds.TryGetValue(test.MetadataToken, out var seconds) ? AtLeast + TimeSpan.FromSeconds(TimesBaseline * seconds) : Baseline;
        foreach (var arguments in await CasesAsync(test))
            if (!await PassesAsync(test, arguments, limit)) return false;
        return true;
    }

    /// <summary>Changes of another file: others will notice them.</summary>
    public void BeginFile() => _noticed.Clear();

    private static bool IsTest(MethodInfo method) => method.CustomAttributes.Any(a => a.AttributeType.Name is "FactAttribute" or "TheoryAttribute");

    private static async Task<IReadOnlyList<object?[]>> CasesAsync(MethodInfo method)
    {
        if (method.GetParameters().Length == 0) return [[]];
        var cases = new List<object?[]>();
        foreach (var attribute in method.GetCustomAttributes().Where(a => a.GetType().GetInterface("IDataAttribute") is not null))
            foreach (var row in await RowsAsync(method, attribute))
                cases.Add(row as object?[] ?? (object?[])row.GetType().GetInterface("ITheoryDataRow")!.GetMethod("GetData")!.Invoke(row, [])!);
        // A theory without a case would look like one that passes.
        return cases.Count > 0 ? cases : throw new NotSupportedException($"{method.DeclaringType!.Name}.{method.Name} has no cases that this program can find.");
    }

    private static async Task<IEnumerable> RowsAsync(MethodInfo method, Attribute attribute)
    {
        if (attribute.GetType().GetProperty("MemberName")?.GetValue(attribute) is string member)
            return (IEnumerable)method.DeclaringType!.GetProperty(member, BindingFlags.Public | BindingFlags.NonPublic | BindingFlags.Static)!.GetValue(null)!;
        var source = attribute.GetType().GetInterface("IDataAttribute")!.GetMethod("GetData")!;
        // A ValueTask of a collection of rows, of types that this program does not refer to.
        var pending = source.Invoke(attribute, [method, Activator.CreateInstance(source.GetParameters()[1].ParameterType)])!;
        var task = (Task)pending.GetType().GetMethod("AsTask")!.Invoke(pending, [])!;
        await task;
        return (IEnumerable)task.GetType().GetProperty("Result")!.GetValue(task)!;
    }

    private static async Task<bool> PassesAsync(MethodInfo method, object?[] arguments, TimeSpan limit)
    {
        var test = Task.Run(async () =>
        {
            var instance = Activator.CreateInstance(method.DeclaringType!);
            try
            {
                switch (method.Invoke(instance, Padded(method, arguments)))
                {
                    case Task task:
                        await task;
                        break;
                    case ValueTask task:
                        await task;
                        break;
                }
            }
            finally
            {
                if (instance is IAsyncDisposable asynchronous) await asynchronous.DisposeAsync();
                else (instance as IDisposable)?.Dispose();
            }
        });
        try
        {
            await test.WaitAsync(limit);
            return true;
        }
        catch (Exception e) when (e is not OutOfMemoryException)
        {
            return false;
        }
    }

    private static object?[] Padded(MethodInfo method, object?[] arguments) =>
        [.. method.GetParameters().Select((p, i) => i < arguments.Length ? Fitting(arguments[i], p.ParameterType) : p.DefaultValue)];

    private static object? Fitting(object? argument, Type type) =>
        argument is IConvertible && !type.IsInstanceOfType(argument) && type.IsPrimitive ? Convert.ChangeType(argument, type, System.Globalization.CultureInfo.InvariantCulture)
        : argument is not null && Nullable.GetUnderlyingType(type) is { } of && !of.IsInstanceOfType(argument) ? Convert.ChangeType(argument, of, System.Globalization.CultureInfo.InvariantCulture)
        : argument;
}
