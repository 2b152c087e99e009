using System.Collections;
using System.Reflection;

namespace SweepRig.Benchmarks.Mutations;

/// <summary>
/// Runs the facts and theories of test classes one after the other until one fails. It knows what these tests use of xUnit: facts, theories with data of any kind, constructors without
/// arguments, and asynchronous tests.
/// </summary>
internal static class MutantTests
{
    /// <summary>A change may leave a test waiting for ever, which is a failure too.</summary>
    private static readonly TimeSpan Limit = TimeSpan.FromSeconds(60);

    /// <returns>The test that failed; null if all passed.</returns>
    /// <exception cref="InvalidOperationException">There is no test.</exception>
    public static async Task<string?> FirstFailureAsync(IEnumerable<Type> classes)
    {
        var ran = 0;
        foreach (var method in classes.SelectMany(c => c.GetMethods(BindingFlags.Public | BindingFlags.Instance)).Where(IsTest))
        {
            foreach (var arguments in await CasesAsync(method))
            {
                ran++;
                if (!await PassesAsync(method, arguments)) return $"{method.DeclaringType!.Name}.{method.Name}";
            }
        }
        return ran > 0 ? null : throw new InvalidOperationException("There are no tests to run against the changes.");
    }

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

    private static async Task<bool> PassesAsync(MethodInfo method, object?[] arguments)
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
            await test.WaitAsync(Limit);
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
