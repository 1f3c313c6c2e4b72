// SPDX-License-Identifier: GPL-3.0-or-later
import dialarc.*;
import java.lang.reflect.Array;
import java.lang.reflect.Constructor;
import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Method;
import java.lang.reflect.Modifier;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;

/** Every function and every member is called with what it cannot use: exceptions, and no
 *  crash. Seeded, so that what is found once is found again. */
public class TestHostile {
    private static final int CALLS = 1000;
    /** HOSTILE_SECONDS: how long one function is called at the most. */
    private static final double SECONDS = Double.parseDouble(
        System.getenv().getOrDefault("HOSTILE_SECONDS", "0.15"));
    private static final double[] NUMBERS = {0, 1, -1, 0.5, 4, 90, 1e-300, 1e300, -1e300,
        Double.NaN, Double.POSITIVE_INFINITY, Double.MIN_VALUE, 4294967296.0};
    private static final long[] WHOLES = {0, 1, 2, 4, -1, 3, 64, 65, 1000,
        Integer.MAX_VALUE, Integer.MIN_VALUE, Long.MAX_VALUE, Long.MIN_VALUE};
    private static final String[] TEXTS = {null, "", "a", "\0", "setup,lobes\na,4\n",
        "sweep,crank_deg,dial_mm\na,1,x\n", "\u00e4\ud83d\ude00", "x".repeat(5000), "/",
        "."};
    private static final Random random = new Random(20260131);
    private static final Map<Class<?>, List<Object>> good = new HashMap<>();
    private static int calls, refused, failures;

    private static void wrong(String what) {
        failures++;
        System.out.println("wrong: " + what);
    }

    private static void keep(Object... objects) {
        for (Object one : objects)
            good.computeIfAbsent(one.getClass(), key -> new ArrayList<>()).add(one);
    }

    private static void makeGoodOnes(String demo) {
        Setups setups = Dialarc.setups_load(demo + "setups.csv");
        Sweeps sweeps = Dialarc.sweeps_load(demo + "sweeps.csv", setups);
        SweepRecord record = Dialarc.sweeps_get(sweeps, 0);
        Assessment assessment = Dialarc.assess(record.getSetup(), record.getSweep());
        Cam cam = new Cam();
        cam.setLobes(4);
        cam.setLift_mm(2.2);
        cam.setRise_deg(38);
        cam.setTop_dwell_deg(2);
        cam.setBase_dwell_deg(10);
        cam.setLaw(Law.LAW_POLY345);
        Reach reach = new Reach();
        reach.setFirst_crank_deg(-90);
        reach.setLast_crank_deg(20);
        reach.setStep_crank_deg(2);
        Look look = Dialarc.joint_look(assessment.getTiming());
        SweepRecord last = Dialarc.sweeps_get(sweeps, Dialarc.sweeps_count(sweeps) - 1);
        keep(reach, look, Dialarc.joint_assess(record.getSetup(), new Look[] {look, look}),
             Dialarc.live_new(record.getSetup(), reach),
             Dialarc.dialcal_new(new double[] {0, 1}, new double[] {0, 1}, 0),
             Dialarc.dials_load(demo + "dials.csv"),
             Dialarc.learned_cam_new(Dialarc.workspace_new(), last.getSetup(),
                                     last.getSweep()));
        keep(setups, sweeps, record, record.getSetup(), record.getSweep(), assessment,
             cam,
             assessment.getTiming(), assessment.getDecision(), Dialarc.workspace_new(),
             assessment.getTiming().getFindings(), Dialarc.camtable_from_cam(cam, 90),
             Dialarc.jobs_load(demo + "rounds.csv", setups), Dialarc.fuel_diesel(),
             Dialarc.whatif_from_setup(record.getSetup()));
    }

    private static Object deleted(Object object) throws Exception {
        object.getClass().getMethod("delete").invoke(object);
        return object;
    }

    private static Object fresh(Class<?> type) throws Exception {
        for (Constructor<?> one : type.getConstructors())
            if (one.getParameterCount() == 0)
                return one.newInstance();
        return null;
    }

    /** A struct or a handle: null, empty, deleted, or one that is good. */
    private static Object object(Class<?> type) throws Exception {
        List<Object> known = good.getOrDefault(type, List.of());
        switch (random.nextInt(4)) {
        case 0:
            return null;
        case 1:
            Object made = fresh(type);
            return made == null ? null : deleted(made);
        case 2:
            return fresh(type);
        default:
            return known.isEmpty() ? fresh(type)
            : known.get(random.nextInt(known.size()));
        }
    }

    private static Object array(Class<?> type) throws Exception {
        int length = random.nextInt(8);
        if (length == 7)
            return null;
        Object array = Array.newInstance(type, random.nextInt(9) == 0 ? 70 : length);
        for (int i = 0; i < Array.getLength(array); i++)
            Array.set(array, i, argument(type));
        return array;
    }

    private static Object argument(Class<?> type) throws Exception {
        if (type == double.class)
            return NUMBERS[random.nextInt(NUMBERS.length)];
        if (type == long.class)
            return WHOLES[random.nextInt(WHOLES.length)];
        if (type == int.class)
            return (int) WHOLES[random.nextInt(WHOLES.length)];
        if (type == String.class)
            return TEXTS[random.nextInt(TEXTS.length)];
        if (type.isArray())
            return array(type.getComponentType());
        if (type == Model.class) {
            double value = NUMBERS[random.nextInt(NUMBERS.length)];
            return random.nextInt(5) == 0 ? null
                : (Model) (x -> value * x[random.nextInt(9)]);
        }
        Object[] words = constants(type);
        if (words.length == 0)
            return object(type);
        return random.nextInt(9) == 0 ? null : words[random.nextInt(words.length)];
    }

    /** The members of an enumeration, which here is a class with constants of itself. */
    private static Object[] constants(Class<?> type) throws Exception {
        if (type.isEnum())
            return type.getEnumConstants();
        List<Object> found = new ArrayList<>();
        for (var field : type.getFields())
            if (Modifier.isStatic(field.getModifiers()) && field.getType() == type)
                found.add(field.get(null));
        return found.toArray();
    }

    private static boolean expected(Throwable problem) {
        return problem instanceof DialarcException
        || problem instanceof NullPointerException
            || problem instanceof ArrayIndexOutOfBoundsException
            || problem instanceof IllegalArgumentException
            || problem instanceof OutOfMemoryError;
    }

    private static void call(Object self, Method method) throws Exception {
        Class<?>[] types = method.getParameterTypes();
        Object[] arguments = new Object[types.length];
        for (int i = 0; i < types.length; i++)
            arguments[i] = argument(types[i]);
        if (System.getenv("TRACE") != null)
            System.err.println(method + " " + java.util.Arrays.deepToString(arguments));
        calls++;
        try {
            method.invoke(self, arguments);
        } catch (InvocationTargetException caught) {
            refused++;
            if (!expected(caught.getCause()))
                wrong(method + ": " + caught.getCause());
        }
    }

    /** Trials that take minutes, whatever their arguments are. */
    private static boolean takesLong(String name) {
        return name.matches("propagate_(adaptive|monte_carlo)|whatif_propagate");
    }

    private static void everyFunction() throws Exception {
        for (Method method : Dialarc.class.getMethods()) {
            if (!Modifier.isStatic(method.getModifiers()) || takesLong(method.getName()))
                continue;
            long end = System.nanoTime() + (long) (1e9 * SECONDS);
            for (int i = 0; i < CALLS && System.nanoTime() < end; i++)
                call(null, method);
        }
    }

    private static boolean isMember(Method method, Class<?> type) {
        return method.getDeclaringClass() == type && !method.getName().equals("delete")
            && !Modifier.isStatic(method.getModifiers());
    }

    private static void everyMember(Class<?> type) throws Exception {
        Object gone = good.containsKey(type) ? null : fresh(type);
        for (Method method : type.getMethods()) {
            if (!isMember(method, type))
                continue;
            for (int i = 0; i < 20; i++) {
                Object self = fresh(type);
                if (self != null)
                    call(self, method);
            }
            if (gone != null && method.getParameterCount() == 0)
                afterDelete(deleted(gone), method);
        }
    }

    private static void afterDelete(Object gone, Method method) throws Exception {
        try {
            method.invoke(gone);
            wrong(method + " after delete()");
        } catch (InvocationTargetException caught) {
            String text = String.valueOf(caught.getCause().getMessage());
            if (!(caught.getCause() instanceof DialarcException)
                || !text.contains("deleted"))
                wrong(method + " after delete(): " + caught.getCause());
        }
    }

    /** All classes of structs and handles that functions take or return. */
    private static List<Class<?>> classes() throws Exception {
        List<Class<?>> found = new ArrayList<>();
        for (Method method : Dialarc.class.getMethods()) {
            List<Class<?>> types = new ArrayList<>(List.of(method.getParameterTypes()));
            types.add(method.getReturnType());
            for (Class<?> type : types) {
                Class<?> one = type.isArray() ? type.getComponentType() : type;
                if (!found.contains(one) && one.getName().startsWith("dialarc.")
                        && one != Model.class && constants(one).length == 0)
                    found.add(one);
            }
        }
        return found;
    }

    public static void main(String[] arguments) throws Exception {
        makeGoodOnes(System.getenv().getOrDefault("srcdir", ".") + "/examples/demo/");
        everyFunction();
        for (Class<?> type : classes())
            everyMember(type);
        for (List<Object> known : good.values())
            for (Object one : known) {
                deleted(one);
                for (Method method : one.getClass().getMethods())
                    if (isMember(method, one.getClass()) && method.getParameterCount()
                        == 0)
                        afterDelete(one, method);
            }
        everyFunction(); // with handles that have been deleted
        if (refused * 2 < calls)
            wrong("only " + refused + " of " + calls + " calls were refused");
        System.out.println("Hostile calls: " + calls + ", refused: " + refused
                           + ", failures: " + failures);
        System.exit(failures > 0 ? 1 : 0);
    }
}
