// SPDX-License-Identifier: GPL-3.0-or-later
using System;
using System.Collections.Generic;
using System.Diagnostics;
using System.Linq;
using System.Reflection;
using Dialarc;

/// <summary>Every function and every member is called with what it cannot use:
/// exceptions, and no crash. Seeded, so that what is found once is found again.</summary>
public static class TestHostile
{
    private const int CallsEach = 1000;
    /// <summary>HOSTILE_SECONDS: how long one function is called at the most.</summary>
    private static readonly double secondsEach = double.Parse(
        Environment.GetEnvironmentVariable("HOSTILE_SECONDS") ?? "0.15",
        System.Globalization.CultureInfo.InvariantCulture);
    private static readonly double[] numbers = {
        0, 1, -1, 0.5, 4, 90, 1e-300, 1e300, -1e300, double.NaN, double.PositiveInfinity,
        double.Epsilon, 4294967296.0 };
    private static readonly long[] wholes = {
        0, 1, 2, 4, -1, 3, 64, 65, 1000, int.MaxValue, int.MinValue, long.MaxValue,
        long.MinValue };
    private static readonly string[] texts = {
        null, "", "a", "\0", "setup,lobes\na,4\n", "sweep,crank_deg,dial_mm\na,1,x\n",
        "\u00e4", new string('x', 5000), "/", "." };
    private static readonly Random random = new Random(20260131);
    private static readonly Dictionary<Type, List<object>> good =
        new Dictionary<Type, List<object>>();
    private static int calls, refused, failures;

    private static void Wrong(string what)
    {
        failures++;
        Console.WriteLine("wrong: " + what);
    }

    private static void Keep(params object[] objects)
    {
        foreach (var one in objects)
        {
            if (!good.ContainsKey(one.GetType()))
                good[one.GetType()] = new List<object>();
            good[one.GetType()].Add(one);
        }
    }

    private static void MakeGoodOnes(string demo)
    {
        var setups = Api.setups_load(demo + "setups.csv");
        var sweeps = Api.sweeps_load(demo + "sweeps.csv", setups);
        var record = Api.sweeps_get(sweeps, 0);
        var assessment = Api.assess(record.setup, record.sweep);
        var cam = new Cam { lobes = 4, lift_mm = 2.2, rise_deg = 38, top_dwell_deg = 2,
                            base_dwell_deg = 10, law = Law.LAW_POLY345 };
        var reach = new Reach { first_crank_deg = -90, last_crank_deg = 20,
                                step_crank_deg = 2 };
        var look = Api.joint_look(assessment.timing);
        var last = Api.sweeps_get(sweeps, Api.sweeps_count(sweeps) - 1);
        Keep(reach, look, Api.joint_assess(record.setup, new[] { look, look }),
             Api.live_new(record.setup, reach),
             Api.dialcal_new(new double[] { 0, 1 }, new double[] { 0, 1 }, 0),
             Api.dials_load(demo + "dials.csv"),
             Api.learned_cam_new(Api.workspace_new(), last.setup, last.sweep));
        Keep(setups, sweeps, record, record.setup, record.sweep, assessment, cam,
             assessment.timing, assessment.decision, Api.workspace_new(),
             assessment.timing.findings, Api.camtable_from_cam(cam, 90),
             Api.jobs_load(demo + "rounds.csv", setups), Api.fuel_diesel(),
             Api.whatif_from_setup(record.setup));
    }

    private static T OneOf<T>(IList<T> list) => list[random.Next(list.Count)];

    private static object Fresh(Type type) =>
        type.GetConstructor(Type.EmptyTypes) == null ? null
                                                     : Activator.CreateInstance(type);

    private static object Disposed(object one)
    {
        ((IDisposable)one).Dispose();
        return one;
    }

    /// <summary>A struct or a handle: null, empty, disposed of, or one that is
    /// good.</summary>
    private static object Object(Type type)
    {
        var fresh = Fresh(type);
        switch (random.Next(4))
        {
            case 0: return null;
            case 1: return fresh == null ? null : Disposed(fresh);
            case 2: return fresh;
            default: return good.ContainsKey(type) ? OneOf(good[type]) : fresh;
        }
    }

    private static object Array(Type type)
    {
        int length = random.Next(8);
        if (length == 7)
            return null;
        var array = System.Array.CreateInstance(type, random.Next(9) == 0 ? 70 : length);
        for (int i = 0; i < array.Length; i++)
            array.SetValue(Argument(type), i);
        return array;
    }

    private static object Argument(Type type)
    {
        if (type == typeof(double))
            return OneOf(numbers);
        if (type == typeof(long))
            return OneOf(wholes);
        if (type == typeof(int))
            return unchecked((int)OneOf(wholes));
        if (type == typeof(uint))
            return unchecked((uint)OneOf(wholes));
        if (type == typeof(string))
            return OneOf(texts);
        if (type.IsEnum)
            return Enum.ToObject(type, random.Next(-2, 40));
        if (type.IsArray)
            return Array(type.GetElementType());
        if (type == typeof(Func<double[], double>))
        {
            double value = OneOf(numbers);
            return random.Next(5) == 0 ? null
                : (Func<double[], double>)(x => value * x[random.Next(9)]);
        }
        return Object(type);
    }

    private static bool Expected(Exception problem) =>
        problem is DialarcException || problem is ArgumentException ||
        problem is NullReferenceException || problem is IndexOutOfRangeException ||
        problem is OutOfMemoryException;

    private static void Call(object self, MethodInfo method)
    {
        var arguments =
            method.GetParameters().Select(p => Argument(p.ParameterType)).ToArray();
        if (Environment.GetEnvironmentVariable("TRACE") != null)
            Console.Error.WriteLine(method + " " + string.Join(", ", arguments));
        calls++;
        try
        {
            method.Invoke(self, arguments);
        }
        catch (TargetInvocationException caught)
        {
            refused++;
            if (!Expected(caught.InnerException))
                Wrong(method + ": " + caught.InnerException);
        }
    }

    /// <summary>Trials that take minutes, whatever their arguments are.</summary>
    private static bool TakesLong(string name) =>
        name == "propagate_adaptive" || name == "propagate_monte_carlo" ||
        name == "whatif_propagate";

    private static IEnumerable<MethodInfo> Functions() =>
        typeof(Api).GetMethods(BindingFlags.Static | BindingFlags.Public)
            .Where(method => !TakesLong(method.Name));

    private static void EveryFunction()
    {
        foreach (var method in Functions())
        {
            var clock = Stopwatch.StartNew();
            for (int i = 0; i < CallsEach
                 && clock.Elapsed.TotalSeconds < secondsEach; i++)
                Call(null, method);
        }
    }

    private static IEnumerable<MethodInfo> Members(Type type) =>
        type.GetMethods(BindingFlags.Instance | BindingFlags.Public |
                        BindingFlags.DeclaredOnly)
            .Where(method => method.Name != "Dispose");

    private static void EveryMember(Type type)
    {
        foreach (var method in Members(type))
            for (int i = 0; i < 20 && Fresh(type) != null; i++)
                Call(Fresh(type), method);
    }

    private static void AfterDispose(object gone)
    {
        foreach (var method in Members(gone.GetType()).Where(m => m.GetParameters().Length
                                                             == 0))
            try
            {
                method.Invoke(gone, null);
                Wrong(method + " after Dispose()");
            }
            catch (TargetInvocationException caught)
            {
                var problem = caught.InnerException;
                if (!(problem is DialarcException)
                    || !problem.Message.Contains("deleted"))
                    Wrong(method + " after Dispose(): " + problem);
            }
    }

    /// <summary>All classes of structs and handles that functions take or
    /// return.</summary>
    private static IEnumerable<Type> Classes() =>
        Functions().SelectMany(m => m.GetParameters().Select(p => p.ParameterType)
                                        .Append(m.ReturnType))
            .Select(type => type.IsArray ? type.GetElementType() : type)
            .Where(type => typeof(IDisposable).IsAssignableFrom(type)).Distinct();

    public static int Main()
    {
        MakeGoodOnes((Environment.GetEnvironmentVariable("srcdir") ?? ".")
                     + "/examples/demo/");
        EveryFunction();
        foreach (var type in Classes())
        {
            EveryMember(type);
            if (Fresh(type) != null)
                AfterDispose(Disposed(Fresh(type)));
        }
        foreach (var one in good.Values.SelectMany(list => list))
            AfterDispose(Disposed(one));
        EveryFunction(); // with handles that have been disposed of
        if (refused * 2 < calls)
            Wrong("only " + refused + " of " + calls + " calls were refused");
        Console.WriteLine("Hostile calls: " + calls + ", refused: " + refused +
                          ", failures: " + failures);
        return failures > 0 ? 1 : 0;
    }
}
