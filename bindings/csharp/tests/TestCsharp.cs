// SPDX-License-Identifier: GPL-3.0-or-later
using System;
using System.Collections.Generic;
using System.Globalization;
using System.IO;
using System.Linq;
using System.Reflection;
using System.Text.RegularExpressions;
using Dialarc;

/// <summary>The module for C#: the shared vectors to the last bit, every function,
/// arrays, errors.</summary>
public static class TestCsharp
{
    private static int checks, failures;
    private static readonly Dictionary<string, object> known =
        new Dictionary<string, object>();

    private static void Check(bool good, string what)
    {
        checks++;
        if (good)
            return;
        failures++;
        Console.WriteLine("wrong: " + what);
    }

    // ---- the shared vectors ---------------------------------------------------------

    private static double Number(string word) =>
        double.Parse(word, NumberStyles.Float, CultureInfo.InvariantCulture);

    /// <summary>A word of the file as an argument of this type.</summary>
    private static object ValueOf(string word, Type type)
    {
        if (word == "-")
            return null;
        if (type.IsArray)
        {
            var parts = word.Split(';');
            var array = Array.CreateInstance(type.GetElementType(), parts.Length);
            for (int i = 0; i < parts.Length; i++)
                array.SetValue(ValueOf(parts[i], type.GetElementType()), i);
            return array;
        }
        if (known.ContainsKey(word))
            return known[word];
        if (type == typeof(string))
            return word;
        if (type.IsEnum)
            return Enum.ToObject(type, (int)Number(word));
        return Convert.ChangeType(Number(word), type, CultureInfo.InvariantCulture);
    }

    private static object Call(string name, string text)
    {
        var words = text.Split(new[] { ' ' }, StringSplitOptions.RemoveEmptyEntries);
        if (char.IsUpper(name[0]))
            return Activator.CreateInstance(typeof(Api).Assembly.GetType("Dialarc."
                                                                         + name));
        var method = typeof(Api).GetMethods().Single(
            m => m.Name == name && m.GetParameters().Length == words.Length);
        var arguments = words.Zip(method.GetParameters(),
                                  (word, p) => ValueOf(word, p.ParameterType));
        return method.Invoke(null, arguments.ToArray());
    }

    /// <summary>What is at a path; the number of the result is the place in an array of
    /// results.</summary>
    private static double At(object result, string path)
    {
        var parts = path.Replace("[", ".[").Replace("]", "").Split('.');
        bool several = result is double[][] || result is double[] && parts.Length == 1;
        object value =
            several ? ((Array)result).GetValue(int.Parse(parts[0]) - 1) : result;
        foreach (var part in parts.Skip(1))
            value = part[0] == '['
                ? ((Array)value).GetValue(int.Parse(part.Substring(1)))
                : value.GetType().GetProperty(part).GetValue(value);
        return value is Enum ? (int)value : Convert.ToDouble(value);
    }

    private static long Bits(double number) => BitConverter.DoubleToInt64Bits(number);

    private static void Vectors(string file)
    {
        known["product"] = new Func<double[], double>(x => x[0] * x[1]);
        string last = "";
        object result = null;
        foreach (var line in File.ReadLines(file).Skip(1))
        {
            var part = line.Split(',');
            string name = part[0], text = part[1], path = part[2], value = part[3];
            long bits = part[4] == "" ? 0 : Convert.ToInt64(part[4], 16);
            if (part[4] != "")
                Check(Bits(Number(value)) == bits || value == "-0.0", "reading " + value);
            if (name[0] == '=')
            {
                var kept = known[name.Substring(1)];
                var property = kept.GetType().GetProperty(path);
                property.SetValue(kept, ValueOf(value, property.PropertyType));
                continue;
            }
            // Residuals have a function of their own here.
            if (name == "timing_estimate" && path[0] == '1')
                name = "timing_residuals";
            if (path[0] == '=' || last != name + " " + text)
            {
                result = Call(name, text);
                last = name + " " + text;
            }
            if (path[0] == '=')
                known[path.Substring(1)] = result;
            else
                Check(Bits(At(result, path)) == bits, line);
        }
    }

    // ---- the rest -------------------------------------------------------------------

    /// <summary>All but those that C and Python alone have: memory and streams of
    /// C.</summary>
    private static void EveryFunction(string file)
    {
        var names = typeof(Api).GetMethods().Select(m => m.Name).ToList();
        var leftOut = new Regex(
            "^(sweep_reader_new$|sweep_buffer_|read_)|_free$|^batch_assess$");
        foreach (var line in File.ReadLines(file))
        {
            var name = line.Replace("dialarc_", "");
            Check(leftOut.IsMatch(name) || names.Contains(name), name + " is missing");
        }
    }

    private static void Refused(Status status, string text, Action call)
    {
        try
        {
            call();
            Check(false, "no error: " + text);
        }
        catch (DialarcException problem)
        {
            Check(problem.Message.Contains(text) && problem.Status == status,
                  problem.Status + " " + problem.Message);
        }
    }

    private static Cam NewCam() =>
        new Cam { lobes = 4, lift_mm = 2.2, rise_deg = 38, top_dwell_deg = 2,
                  base_dwell_deg = 10, law = Law.LAW_POLY345 };

    /// <summary>A new setup knows nothing; nothing is learned from two
    /// readings.</summary>
    private static void Unknown()
    {
        var setup = new Setup();
        foreach (var field in typeof(Setup).GetProperties())
            Check(!(field.GetValue(setup) is double value) || double.IsNaN(value),
                  "a new setup: " + field.Name);
        var sweep = Api.make_sweep(new[] { 0.0, 1.0 }, new[] { 0.1, 0.2 }, null);
        var residuals = Api.timing_residuals(Api.workspace_new(), Api.setup_unknown(4),
                                             sweep);
        Check(residuals.Length == 2 && residuals.All(double.IsNaN),
              "residuals of nothing");
    }

    private static void Errors()
    {
        Cam cam = NewCam(), flat = NewCam();
        flat.lift_mm = 0;
        Refused(Status.ERR_NOT_FINITE, "cam_lift(): ",
                () => Api.cam_lift(cam, double.NaN));
        Refused(Status.ERR_NULL, "cam_lift(): ", () => Api.cam_lift(null, 1));
        Refused(Status.ERR_LIFT, "cam_lift(): ", () => Api.cam_lift(flat, 1));
        Refused(Status.ERR_SIZE, "pump_deg: an array is needed",
                () => Api.cam_lift_array(cam, null));
        Refused(Status.ERR_SIZE, "sd: the arrays are not of the same length",
                () => Api.conformity_probabilities(new double[2], new double[1], 0, 1));
        Refused(Status.ERR_SIZE, "stage: one of the structs is null",
                () => Api.drive_ratio(new Stage[1]));
        Refused(Status.ERR_TABLE, "line 1 (header)",
                () => Api.setups_read("setup,lobs\n"));
        Refused(Status.ERR_FILE, "setups_load(): ",
                () => Api.setups_load("no such file"));
    }

    private static void Tables(string demo)
    {
        var setups = Api.setups_load(demo + "setups.csv");
        var sweeps = Api.sweeps_load(demo + "sweeps.csv", setups);
        var all = Api.assess_all(setups, sweeps, 2);
        Check(Api.assessments_count(all) == Api.sweeps_count(sweeps), "results");
        for (long i = 0; i < Api.sweeps_count(sweeps); i++)
        {
            var record = Api.sweeps_get(sweeps, i);
            Check(record.sweep.dial_mm.Length == record.sweep.n, "length");
            Check(Bits(Api.assess(record.setup, record.sweep).timing.lift_mm) ==
                  Bits(Api.assessments_get(all, i).timing.lift_mm), "alike");
        }
        var jobs = Api.jobs_load(demo + "rounds.csv", setups);
        Check(Api.jobs_get(jobs, 0).round_at(0).tdc_mm == 0.78, "rounds");
        Refused(Status.ERR_SIZE, "sweeps_get(): ", () => Api.sweeps_get(sweeps, 99));
        Check(Api.law_from_name("poly345") == Law.LAW_POLY345, "word");
        var outlets = Api.lobes_assign(new[] { 1, 3, 4, 2 }, 1, Rotation.ROTATION_CW);
        Check(outlets.Length == 2 && outlets[0][1] == 3, "outlets");
    }

    private static SweepReader ReaderOf(string path, string demo)
    {
        var reader = Api.sweep_reader_open(path, Api.setups_load(demo + "setups.csv"));
        GC.Collect();                                   // the reader keeps its setups
        GC.WaitForPendingFinalizers();
        return reader;
    }

    private static void ReadAll(SweepReader reader)
    {
        for (SweepRecord one; (one = Api.sweep_reader_next(reader)) != null;)
            one.Dispose();
    }

    /// <summary>Tables that are files, piece by piece; test_csharp.sh compares the
    /// results.</summary>
    private static void Files(string demo)
    {
        var place = Environment.GetEnvironmentVariable("PLACE");
        var malformed = Environment.GetEnvironmentVariable("MALFORMED");
        var output = Environment.GetEnvironmentVariable("OUT");
        var setups = Api.setups_load(demo + "setups.csv");
        var sweeps = Api.sweeps_load(demo + "sweeps.csv", setups);
        var reader = ReaderOf(demo + "sweeps.csv", demo);
        long n = 0;
        for (SweepRecord one; (one = Api.sweep_reader_next(reader)) != null; n++)
        {
            var want = Api.sweeps_get(sweeps, n);
            Check(one.name == want.name && one.setup.lobes == want.setup.lobes &&
                      one.sweep.crank_deg.SequenceEqual(want.sweep.crank_deg) &&
                      one.sweep.dial_mm.SequenceEqual(want.sweep.dial_mm),
                  "sweep by sweep: " + want.name);
        }
        Check(n == Api.sweeps_count(sweeps), "the end of the table");
        Check(Api.sweep_reader_next(reader) == null, "after the end");
        Check(Api.stream_assess(demo + "sweeps.csv", setups, output + "/results.csv", 2)
              == n, "number of results");
        reader = ReaderOf(malformed, demo);
        Refused(Status.ERR_TABLE, place, () => ReadAll(reader));
        Refused(Status.ERR_TABLE, "sweep_reader_next(): ", () => ReadAll(reader));
        Refused(Status.ERR_TABLE, place,
                () => Api.stream_assess(malformed, setups, output + "/none.csv", 2));
        Refused(Status.ERR_FILE, "sweep_reader_open(): path: ",
                () => Api.sweep_reader_open("no such file", setups));
        Refused(Status.ERR_FILE, "stream_assess(): sweeps_path: ",
                () => Api.stream_assess("no such file", setups, output + "/none.csv", 2));
        Refused(Status.ERR_FILE, "stream_assess(): results_path: ",
                () => Api.stream_assess(malformed, setups, output + "/none/none.csv", 2));
        Refused(Status.ERR_NULL, "results_path: ",
                () => Api.stream_assess(malformed, setups, null, 2));
    }

    /// <summary>A cam written into a table and read back to the bit.</summary>
    private static void Cams()
    {
        double[] angle = { 0, 30.5, 60 }, lift = { 0.1 + 0.2, 2, 1 };
        string text = Api.cams_header() + Api.cam_format("a, b", angle, lift, 90, 0.002);
        var found = Api.cams_read(text);
        Check(Api.cams_count(found) == 1 && Api.cams_name(found, 0) == "a, b", "a cam");
        Check(Api.cams_find(found, "a, b") == 0, "its number");
        var cam = Api.cams_get(found, 0);
        Check(cam.name == "a, b" && cam.n == 3 && cam.cam_sd_mm == 0.002, "what it says");
        for (int i = 0; i < 3; i++)
            Check(Bits(cam.pump_deg[i]) == Bits(angle[i]) &&
                  Bits(cam.lift_mm[i]) == Bits(lift[i]), "its points");
        Check(Api.camtable_motion(cam.camtable(), 30.5).lift_mm == 2, "its curve");
        Refused(Status.ERR_SIZE, "cams_get(): ", () => Api.cams_get(found, 1));
        Refused(Status.ERR_TABLE, "line 3 (row 2), column period_deg",
                () => Api.cams_read(text.Replace(",2,90", ",2,89")));
    }

    /// <summary>A calibration that corrects a reading by 1 %; it outlives its
    /// table.</summary>
    private static void DialTables()
    {
        string text = "dial,shown_mm,true_mm,u_mm,calibrated_on,certificate\n" +
                      "bench,-1,-1.01,0.001,2026-03-02,invented 17\n" +
                      "bench,9,9.09,0.001,,\n";
        var found = Api.dials_read(text);
        Check(Api.dials_count(found) == 1, "a dial");
        Check(Api.dials_name(found, 0) == "bench", "its name");
        Check(Api.dials_certificate(found, 0) == "invented 17", "its certificate");
        Check(Api.dials_calibrated_on(found, 0) == "2026-03-02", "its day");
        var setups = Api.setups_read("setup,lobes,dial\nx,4,bench\ny,4,\n");
        Api.setups_use_dials(setups, found);
        found.Dispose();
        var setup = Api.setups_get(setups, 0);
        setups.Dispose();
        var kept = setup.dial_calibration;
        setup.dial_calibration = Api.dialcal_new(new double[] { 0, 1 },
                                                 new double[] { 0, 2 }, 0);
        double[] one = { 1 };
        Check(System.Math.Abs(Api.dialcal_true(kept, one)[0] - 1.01) < 1e-12,
              "a kept calibration");
        Check(Api.dialcal_true(setup.dial_calibration, new double[] { 0.5 })[0] == 1,
              "another one");
        Refused(Status.ERR_NO_SOLUTION, "setup x names the dial left",
                () => Api.setups_use_dials(
                    Api.setups_read("setup,lobes,dial\nx,4,left\n"),
                    Api.dials_read(text)));
    }

    private static LearnedCam Learn(Sweeps sweeps, long which)
    {
        var record = Api.sweeps_get(sweeps, which);
        return Api.learned_cam_new(Api.workspace_new(), record.setup, record.sweep);
    }

    /// <summary>A cam learned from the last sweep of the demonstration; the first states
    /// its cam.</summary>
    private static void LearnedCams(string demo)
    {
        var setups = Api.setups_load(demo + "setups.csv");
        var sweeps = Api.sweeps_load(demo + "sweeps.csv", setups);
        var cam = Learn(sweeps, Api.sweeps_count(sweeps) - 1);
        var lobe = Api.learned_cam_lobe(cam, 90);
        Check(lobe.Length == 2 && lobe[1].Length == 90 && lobe[0][1] == 1, "its points");
        Check(Api.learned_cam_sd(cam) > 0, "its uncertainty");
        var asCam = Api.cam_from_table(Api.learned_cam_table(cam));
        var whatIf = new Whatif();
        whatIf.change_cam(asCam);
        double lift = Api.cam_lift(asCam, 20);
        asCam.Dispose();
        Check(lift > 0 && Api.cam_lift(whatIf.cam, 20) == lift, "keeps its cam");
        Refused(Status.ERR_NO_SOLUTION, "learned_cam_new(): ", () => Learn(sweeps, 0));
    }

    private static void Models()
    {
        var inputs = new[] { new Input { centre = 3, spread = 0.1 },
                             new Input { centre = 4, spread = 0.2 } };
        var got = Api.propagate_linear(inputs, x => x[0] * x[1]);
        Check(Math.Abs(got[0][0] - 4) < 1e-6 && got[1][0] == 12, "linear propagation");
        Check(Math.Abs(got[1][1] - Math.Sqrt(0.52)) < 1e-6, "its uncertainty");
        var together = new[] { 1, 0.5, 0.5, 1 };
        var both = Api.propagate_budget(inputs, together, x => x[0] * x[1]);
        Check(Math.Abs(both.sd - Math.Sqrt(0.76)) < 1e-6, "correlated inputs");
        var many = Api.propagate_adaptive(inputs, together, x => x[0] * x[1], 1, 20000, 1,
                                          0.95);
        Check(many.trials == 20000 &&
              Math.Abs(many.output.sd - Math.Sqrt(0.76)) < 0.05, "adaptive");
        try
        {
            Api.propagate_linear(inputs,
                                 x => throw new InvalidOperationException("mine"));
            Check(false, "an exception of the model is lost");
        }
        catch (InvalidOperationException problem)
        {
            Check(problem.Message == "mine", "another exception");
        }
    }

    /// <summary>Nothing is left behind: the last of many calls need no more
    /// memory.</summary>
    private static void Memory()
    {
        var cam = NewCam();
        long before = 0, after = 0;
        for (int round = 0; round < 4; round++)
        {
            for (int i = 0; i < 20000; i++)
            {
                Api.cam_lift_array(cam, new double[] { 1, 2, 3 });
                Api.law_motion(Law.LAW_CYCLOIDAL, 0, 0.5).Dispose();
                if (i % 10 == 0)
                    Refused(Status.ERR_NOT_FINITE, "", () => Api.cam_lift_array(
                        cam, new double[] { 1, double.NaN }));
            }
            GC.Collect();
            before = after;
            after = long.Parse(File.ReadAllText("/proc/self/statm").Split(' ')[1]);
        }
        Check(after - before < 1024, "memory grew by pages: " + (after - before));
    }

    public static int Main()
    {
        var srcdir = Environment.GetEnvironmentVariable("srcdir") ?? ".";
        Vectors(Environment.GetEnvironmentVariable("VECTORS") ??
                srcdir + "/refdata/vectors.csv");
        EveryFunction(srcdir + "/lib/dialarc.sym");
        Errors();
        Unknown();
        Tables(srcdir + "/examples/demo/");
        Files(srcdir + "/examples/demo/");
        Cams();
        DialTables();
        LearnedCams(srcdir + "/examples/demo/");
        Models();
        Memory();
        Console.WriteLine($"Checks: {checks}, Failures: {failures}, Errors: 0");
        return failures > 0 ? 1 : 0;
    }
}
