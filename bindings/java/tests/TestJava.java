// SPDX-License-Identifier: GPL-3.0-or-later
import dialarc.*;
import java.lang.reflect.Array;
import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Method;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** The module for Java: the shared vectors to the last bit, every function, arrays,
 *  errors. */
public class TestJava {
    /** What C and Python alone have: memory and streams of C. */
    private static final String LEFT_OUT =
        "sweep_reader_new|(sweep_buffer_|read_).*|.*_free|batch_assess";
    private static int checks, failures;
    private static final Map<String, Object> known = new HashMap<>();

    private static void check(boolean good, String what) {
        checks++;
        if (!good) {
            failures++;
            System.out.println("wrong: " + what);
        }
    }

    // ---- the shared vectors ---------------------------------------------------------

    /** A word of the file as an argument of this type. */
    private static Object valueOf(String word, Class<?> type) throws Exception {
        if (word.equals("-"))
            return null;
        if (type.isArray()) {
            String[] parts = word.split(";");
            Object array = Array.newInstance(type.getComponentType(), parts.length);
            for (int i = 0; i < parts.length; i++)
                Array.set(array, i, valueOf(parts[i], type.getComponentType()));
            return array;
        }
        if (known.containsKey(word))
            return known.get(word);
        if (type == String.class)
            return word;
        double number = Double.parseDouble(word);
        if (type == double.class)
            return number;
        if (type == int.class)
            return (int) number;
        if (type == long.class)
            return (long) number;
        return type.getMethod("swigToEnum", int.class).invoke(null, (int) number);
    }

    private static Object call(String name, String text) throws Exception {
        String[] words = text.isEmpty() ? new String[0] : text.split(" ");
        if (Character.isUpperCase(name.charAt(0)))
            return Class.forName("dialarc." + name).getConstructor().newInstance();
        for (Method method : Dialarc.class.getMethods()) {
            Class<?>[] types = method.getParameterTypes();
            if (!method.getName().equals(name) || types.length != words.length)
                continue;
            Object[] arguments = new Object[words.length];
            for (int i = 0; i < words.length; i++)
                arguments[i] = valueOf(words[i], types[i]);
            return method.invoke(null, arguments);
        }
        throw new NoSuchMethodException(name + " " + text);
    }

    private static String accessor(String way, String field) {
        return way + Character.toUpperCase(field.charAt(0)) + field.substring(1);
    }

    private static void set(Object object, String field, String value) throws Exception {
        for (Method method : object.getClass().getMethods())
            if (method.getName().equals(accessor("set", field)))
                method.invoke(object, valueOf(value, method.getParameterTypes()[0]));
    }

    /** What is at a path; the number of the result is its place in an array of
     *  results. */
    private static double at(Object result, String path) throws Exception {
        String[] parts = path.replace("[", ".[").replace("]", "").split("\\.");
        int first = Integer.parseInt(parts[0]) - 1;
        boolean several = result instanceof double[][] ||
            result instanceof double[] && parts.length == 1;
        Object value = several ? Array.get(result, first) : result;
        for (int i = 1; i < parts.length; i++)
            value = parts[i].startsWith("[")
                ? Array.get(value, Integer.parseInt(parts[i].substring(1)))
                : value.getClass().getMethod(accessor("get", parts[i])).invoke(value);
        return value instanceof Enum
            ? (int) value.getClass().getMethod("swigValue").invoke(value)
            : ((Number) value).doubleValue();
    }

    private static void vectors(Path file) throws Exception {
        known.put("product", (Model) x -> x[0] * x[1]);
        String last = "";
        Object result = null;
        List<String> lines = Files.readAllLines(file);
        for (String line : lines.subList(1, lines.size())) {
            String[] part = line.split(",", -1);
            String name = part[0], text = part[1], path = part[2], value = part[3];
            long bits = part[4].isEmpty() ? 0 : Long.parseUnsignedLong(part[4], 16);
            if (!part[4].isEmpty())
                check(Double.doubleToRawLongBits(Double.parseDouble(value)) == bits,
                      "reading " + value);
            if (name.startsWith("=")) {
                set(known.get(name.substring(1)), path, value);
                continue;
            }
            // Residuals have a function of their own here.
            if (name.equals("timing_estimate") && path.startsWith("1"))
                name = "timing_residuals";
            if (path.startsWith("=") || !last.equals(name + " " + text)) {
                result = call(name, text);
                last = name + " " + text;
            }
            if (path.startsWith("="))
                known.put(path.substring(1), result);
            else
                check(Double.doubleToRawLongBits(at(result, path)) == bits, line);
        }
    }

    // ---- the rest -------------------------------------------------------------------

    private static void everyFunction(Path file) throws Exception {
        List<String> names = new ArrayList<>();
        for (Method method : Dialarc.class.getMethods())
            names.add(method.getName());
        for (String line : Files.readAllLines(file)) {
            String name = line.replaceFirst("dialarc_", "");
            check(name.matches(LEFT_OUT) || names.contains(name), name + " is missing");
        }
    }

    private static void refused(Status status, String text, Runnable call) {
        try {
            call.run();
            check(false, "no error: " + text);
        } catch (DialarcException problem) {
            check(problem.getMessage().contains(text) && problem.getStatus() == status,
                  problem.getStatus() + " " + problem.getMessage());
        }
    }

    private static Cam cam() {
        Cam cam = new Cam();
        cam.setLobes(4);
        cam.setLift_mm(2.2);
        cam.setRise_deg(38);
        cam.setTop_dwell_deg(2);
        cam.setBase_dwell_deg(10);
        cam.setLaw(Law.LAW_POLY345);
        return cam;
    }

    private static void errors() {
        Cam cam = cam(), flat = cam();
        flat.setLift_mm(0);
        refused(Status.ERR_NOT_FINITE, "cam_lift(): ",
                () -> Dialarc.cam_lift(cam, Double.NaN));
        refused(Status.ERR_NULL, "cam_lift(): ", () -> Dialarc.cam_lift(null, 1));
        refused(Status.ERR_LIFT, "cam_lift(): ", () -> Dialarc.cam_lift(flat, 1));
        refused(Status.ERR_SIZE, "pump_deg: an array is needed",
                () -> Dialarc.cam_lift_array(cam, null));
        refused(Status.ERR_SIZE, "sd: the arrays are not of the same length",
                () -> Dialarc.conformity_probabilities(new double[2], new double[1], 0,
                                                       1));
        refused(Status.ERR_SIZE, "stage: one of the structs is null",
                () -> Dialarc.drive_ratio(new Stage[1]));
        refused(Status.ERR_TABLE, "line 1 (header)",
                () -> Dialarc.setups_read("setup,lobs\n"));
        refused(Status.ERR_FILE, "setups_load(): ",
                () -> Dialarc.setups_load("no such file"));
    }

    /** A new setup knows nothing; nothing is learned from two readings. */
    private static void unknown() throws Exception {
        Setup setup = new Setup();
        for (Method method : Setup.class.getMethods())
            if (method.getReturnType() == double.class)
                check(Double.isNaN((double) method.invoke(setup)), "new: "
                      + method.getName());
        Sweep sweep = Dialarc.make_sweep(new double[] {0, 1}, new double[] {0.1, 0.2},
                                         null);
        double[] residuals = Dialarc.timing_residuals(
            Dialarc.workspace_new(), Dialarc.setup_unknown(4), sweep);
        check(residuals.length == 2 && Double.isNaN(residuals[0] + residuals[1]),
              "residuals of nothing");
    }

    private static void tables(String demo) {
        Setups setups = Dialarc.setups_load(demo + "setups.csv");
        Sweeps sweeps = Dialarc.sweeps_load(demo + "sweeps.csv", setups);
        Assessments all = Dialarc.assess_all(setups, sweeps, 2);
        check(Dialarc.assessments_count(all) == Dialarc.sweeps_count(sweeps), "results");
        for (long i = 0; i < Dialarc.sweeps_count(sweeps); i++) {
            SweepRecord record = Dialarc.sweeps_get(sweeps, i);
            check(record.getSweep().getDial_mm().length == record.getSweep().getN(),
                  "length");
            check(Dialarc.assess(record.getSetup(),
                                 record.getSweep()).getTiming().getLift_mm()
                      == Dialarc.assessments_get(all,
                                                 i).getTiming().getLift_mm(), "alike");
        }
        Jobs jobs = Dialarc.jobs_load(demo + "rounds.csv", setups);
        check(Dialarc.jobs_get(jobs, 0).round_at(0).getTdc_mm() == 0.78, "rounds");
        refused(Status.ERR_SIZE, "sweeps_get(): ", () -> Dialarc.sweeps_get(sweeps, 99));
        check(Dialarc.law_from_name("poly345") == Law.LAW_POLY345, "word");
        int[][] outlets = Dialarc.lobes_assign(new int[] {1, 3, 4, 2}, 1,
                                               Rotation.ROTATION_CW);
        check(outlets.length == 2 && outlets[0][1] == 3, "outlets");
    }

    private static SweepReader readerOf(String path, String demo) {
        SweepReader reader = Dialarc.sweep_reader_open(
            path, Dialarc.setups_load(demo + "setups.csv"));
        System.gc();                                    // the reader keeps its setups
        System.runFinalization();
        return reader;
    }

    private static void readAll(SweepReader reader) {
        for (SweepRecord one; (one = Dialarc.sweep_reader_next(reader)) != null;)
            one.delete();
    }

    /** Tables that are files, piece by piece; test_java.sh compares the results. */
    private static void files(String demo) {
        String out = System.getenv("OUT"), place = System.getenv("PLACE");
        String malformed = System.getenv("MALFORMED");
        Setups setups = Dialarc.setups_load(demo + "setups.csv");
        Sweeps sweeps = Dialarc.sweeps_load(demo + "sweeps.csv", setups);
        SweepReader reader = readerOf(demo + "sweeps.csv", demo);
        long n = 0;
        for (SweepRecord one; (one = Dialarc.sweep_reader_next(reader)) != null; n++) {
            SweepRecord want = Dialarc.sweeps_get(sweeps, n);
            Sweep a = one.getSweep(), b = want.getSweep();
            check(one.getName().equals(want.getName()) &&
                      one.getSetup().getLobes() == want.getSetup().getLobes() &&
                      Arrays.equals(a.getCrank_deg(), b.getCrank_deg()) &&
                      Arrays.equals(a.getDial_mm(), b.getDial_mm()),
                  "sweep by sweep: " + want.getName());
        }
        check(n == Dialarc.sweeps_count(sweeps), "the end of the table");
        check(Dialarc.sweep_reader_next(reader) == null, "after the end");
        check(Dialarc.stream_assess(demo + "sweeps.csv", setups, out + "/results.csv", 2)
              == n, "number of results");
        SweepReader broken = readerOf(malformed, demo);
        refused(Status.ERR_TABLE, place, () -> readAll(broken));
        refused(Status.ERR_TABLE, "sweep_reader_next(): ", () -> readAll(broken));
        refused(Status.ERR_TABLE, place,
                () -> Dialarc.stream_assess(malformed, setups, out + "/none.csv", 2));
        refused(Status.ERR_FILE, "sweep_reader_open(): path: ",
                () -> Dialarc.sweep_reader_open("no such file", setups));
        refused(Status.ERR_FILE, "stream_assess(): sweeps_path: ",
                () -> Dialarc.stream_assess("no such file", setups, out + "/none.csv",
                                            2));
        refused(Status.ERR_FILE, "stream_assess(): results_path: ",
                () -> Dialarc.stream_assess(malformed, setups, out + "/none/none.csv",
                                            2));
        refused(Status.ERR_NULL, "results_path: ",
                () -> Dialarc.stream_assess(malformed, setups, null, 2));
    }

    /** A cam written into a table and read back to the bit. */
    private static void cams() {
        double[] angle = {0, 30.5, 60}, lift = {0.1 + 0.2, 2, 1};
        String text = Dialarc.cams_header()
                      + Dialarc.cam_format("a, b", angle, lift, 90, 0.002);
        Cams found = Dialarc.cams_read(text);
        check(Dialarc.cams_count(found) == 1, "a cam");
        check(Dialarc.cams_name(found, 0).equals("a, b"), "its name");
        check(Dialarc.cams_find(found, "a, b") == 0, "its number");
        CamRecord cam = Dialarc.cams_get(found, 0);
        check(cam.getName().equals("a, b") && cam.getN() == 3 && cam.getCam_sd_mm()
              == 0.002, "what it says");
        check(java.util.Arrays.equals(cam.getPump_deg(), angle)
                  && java.util.Arrays.equals(cam.getLift_mm(), lift), "its points");
        check(Dialarc.camtable_motion(cam.camtable(), 30.5).getLift_mm() == 2,
              "its curve");
        refused(Status.ERR_SIZE, "cams_get(): ", () -> Dialarc.cams_get(found, 1));
        refused(Status.ERR_TABLE, "line 3 (row 2), column period_deg",
                () -> Dialarc.cams_read(text.replace(",2,90", ",2,89")));
    }

    /** A calibration that corrects a reading by 1 %; it outlives its table. */
    private static void dials() {
        String text = "dial,shown_mm,true_mm,u_mm,calibrated_on,certificate\n"
                      + "bench,-1,-1.01,0.001,2026-03-02,invented 17\n"
                      + "bench,9,9.09,0.001,,\n";
        Dials found = Dialarc.dials_read(text);
        check(Dialarc.dials_count(found) == 1, "a dial");
        check(Dialarc.dials_name(found, 0).equals("bench"), "its name");
        check(Dialarc.dials_certificate(found, 0).equals("invented 17"), "certificate");
        check(Dialarc.dials_calibrated_on(found, 0).equals("2026-03-02"), "its day");
        Setups setups = Dialarc.setups_read("setup,lobes,dial\nx,4,bench\ny,4,\n");
        Dialarc.setups_use_dials(setups, found);
        found.delete();
        Setup setup = Dialarc.setups_get(setups, 0);
        setups.delete();
        DialCal kept = setup.getDial_calibration();
        setup.setDial_calibration(Dialarc.dialcal_new(new double[] {0, 1},
                                                      new double[] {0, 2}, 0));
        check(Math.abs(Dialarc.dialcal_true(kept, new double[] {1})[0] - 1.01) < 1e-12,
              "a kept calibration");
        check(Dialarc.dialcal_true(setup.getDial_calibration(), new double[] {0.5})[0]
              == 1, "another one");
        refused(Status.ERR_NO_SOLUTION, "setup x names the dial left",
                () -> Dialarc.setups_use_dials(
                    Dialarc.setups_read("setup,lobes,dial\nx,4,left\n"),
                    Dialarc.dials_read(text)));
    }

    private static LearnedCam learn(Sweeps sweeps, long which) {
        SweepRecord record = Dialarc.sweeps_get(sweeps, which);
        return Dialarc.learned_cam_new(Dialarc.workspace_new(), record.getSetup(),
                                       record.getSweep());
    }

    /** A cam learned from the last sweep of the demonstration; the first states its
     *  cam. */
    private static void learnedCams(String demo) {
        Setups setups = Dialarc.setups_load(demo + "setups.csv");
        Sweeps sweeps = Dialarc.sweeps_load(demo + "sweeps.csv", setups);
        LearnedCam cam = learn(sweeps, Dialarc.sweeps_count(sweeps) - 1);
        double[][] lobe = Dialarc.learned_cam_lobe(cam, 90);
        check(lobe.length == 2 && lobe[1].length == 90 && lobe[0][1] == 1, "its points");
        check(Dialarc.learned_cam_sd(cam) > 0, "its uncertainty");
        Cam asCam = Dialarc.cam_from_table(Dialarc.learned_cam_table(cam));
        Whatif whatIf = new Whatif();
        whatIf.change_cam(asCam);
        double lift = Dialarc.cam_lift(asCam, 20);
        asCam.delete();
        check(lift > 0 && Dialarc.cam_lift(whatIf.getCam(), 20) == lift, "keeps its cam");
        refused(Status.ERR_NO_SOLUTION, "learned_cam_new(): ", () -> learn(sweeps, 0));
    }

    private static void models() {
        Input[] inputs = {new Input(), new Input()};
        inputs[0].setCentre(3);
        inputs[0].setSpread(0.1);
        inputs[1].setCentre(4);
        inputs[1].setSpread(0.2);
        double[][] got = Dialarc.propagate_linear(inputs, x -> x[0] * x[1]);
        check(Math.abs(got[0][0] - 4) < 1e-6 && got[1][0] == 12, "linear propagation");
        check(Math.abs(got[1][1] - Math.sqrt(0.52)) < 1e-6, "its uncertainty");
        // The variance of a product: 9 * 0.04 + 16 * 0.01 + 0.01 * 0.04.
        Propagation many = Dialarc.propagate_monte_carlo(inputs, x -> x[0] * x[1], 100000,
                                                         1, 0.95);
        check(Math.abs(many.getSd() - Math.sqrt(0.5204)) < 0.01, "Monte Carlo");
        double[] together = {1, 0.5, 0.5, 1};
        Propagated both = Dialarc.propagate_budget(inputs, together, x -> x[0] * x[1]);
        check(Math.abs(both.getSd() - Math.sqrt(0.76)) < 1e-6, "correlated inputs");
        Adaptive as = Dialarc.propagate_adaptive(inputs, together, x -> x[0] * x[1], 1,
                                                 20000, 1, 0.95);
        check(as.getTrials() == 20000 &&
              Math.abs(as.getOutput().getSd() - Math.sqrt(0.76)) < 0.05, "adaptive");
        try {
            Dialarc.propagate_linear(inputs,
                                     x -> { throw new IllegalStateException("mine"); });
            check(false, "an exception of the model is lost");
        } catch (IllegalStateException problem) {
            check(problem.getMessage().equals("mine"), "another exception");
        }
    }

    /** Nothing is left behind: the last of many calls need no more memory. */
    private static void memory() throws Exception {
        Cam cam = cam();
        long before = 0, after = 0;
        for (int round = 0; round < 4; round++) {
            for (int i = 0; i < 50000; i++) {
                Dialarc.cam_lift_array(cam, new double[] {1, 2, 3});
                Dialarc.law_motion(Law.LAW_CYCLOIDAL, 0, 0.5).delete();
                try {
                    Dialarc.cam_lift_array(cam, new double[] {1, Double.NaN});
                } catch (DialarcException expected) {
                    continue;
                }
            }
            System.gc();
            before = after;
            String sizes = Files.readString(Path.of("/proc/self/statm"));
            after = Long.parseLong(sizes.split(" ")[1]);
        }
        check(after - before < 1024, "memory grew by pages: " + (after - before));
    }

    public static void main(String[] arguments) throws Exception {
        String srcdir = System.getenv().getOrDefault("srcdir", ".");
        try {
            vectors(Path.of(System.getenv().getOrDefault(
                "VECTORS", srcdir + "/refdata/vectors.csv")));
        } catch (InvocationTargetException problem) {
            throw new AssertionError(problem.getCause());
        }
        everyFunction(Path.of(srcdir, "lib/dialarc.sym"));
        errors();
        unknown();
        tables(srcdir + "/examples/demo/");
        files(srcdir + "/examples/demo/");
        cams();
        dials();
        learnedCams(srcdir + "/examples/demo/");
        models();
        memory();
        System.out.println("Checks: " + checks + ", Failures: " + failures
                           + ", Errors: 0");
        System.exit(failures > 0 ? 1 : 0);
    }
}
