# SPDX-License-Identifier: GPL-3.0-or-later
"""Arrays in and out: without a copy, of the caller's kind, refused by name when wrong."""
import array
import subprocess
import sys
import threading
import unittest

import kit
from kit import dialarc as d

try:
    import numpy as np
except ImportError:
    np = None
CAM = kit.cam()
X = [0.0, 5.0, 17.5, 38.0, 44.0, 61.25, -7.0]


class PlainArrays(unittest.TestCase):
    def test_scalar_gives_a_scalar(self):
        for value in (10.0, 10, True):
            self.assertIs(type(CAM.lift_mm(value)), float)
        self.assertIs(type(d.wear_strain(d.Wear(1e-4, 50.0, 1e-4), 100.0)), float)

    def test_array_module_gives_its_own_kind(self):
        lifts = CAM.lift_mm(array.array("d", X))
        self.assertIs(type(lifts), array.array)
        for x, lift in zip(X, lifts):
            self.assertAlmostEqual(lift, CAM.lift_mm(x), delta=1e-14)

    def test_list_tuple_memoryview(self):
        expected = list(CAM.lift_mm(array.array("d", X)))
        for kind in (list, tuple, lambda x: memoryview(array.array("d", x))):
            self.assertEqual(list(CAM.lift_mm(kind(X))), expected)

    def test_empty(self):
        self.assertEqual(len(CAM.lift_mm([])), 0)
        self.assertEqual(len(CAM.lift_mm(array.array("d"))), 0)

    def test_out_is_the_callers(self):
        out = array.array("d", bytes(8 * len(X)))
        self.assertIs(CAM.lift_mm(X, out=out), out)
        self.assertEqual(list(out), list(CAM.lift_mm(X)))

    def test_out_may_be_the_argument(self):
        x = array.array("d", X)
        self.assertIs(CAM.lift_mm(x, out=x), x)
        self.assertEqual(list(x), list(CAM.lift_mm(array.array("d", X))))

    def test_two_results(self):
        table = CAM.table()
        outs = tuple(array.array("d", bytes(8 * 3)) for _ in range(2))
        got = d.camcompare_array(table, table, 1, 0.001, [1.0, 2.0, 3.0], out=outs)
        self.assertIs(got[0], outs[0])
        self.assertIs(got[1], outs[1])

    def refused(self, error, name, call, *args, **keywords):
        with self.assertRaises(error) as caught:
            call(*args, **keywords)
        self.assertIn(name, str(caught.exception))

    def test_wrong_inputs_are_named(self):
        for bad in (None, "abc", b"12345678", object(), {1.0, 2.0},
                    array.array("f", [1.0]),
                    array.array("l", [1]), [1.0, None], [1.0, "x"], [[1.0], [2.0]]):
            self.refused(TypeError, "pump_deg", CAM.lift_mm, bad)
        self.refused(ValueError, "pump_deg", CAM.lift_mm,
                     memoryview(array.array("d", X))[::2])
        self.refused(ValueError, "pump_deg[2]", CAM.lift_mm, [1.0, 2.0, float("nan")])
        self.refused(ValueError, "pump_deg", CAM.lift_mm, float("inf"))
        self.refused(ValueError, "dial_mm", d.minimum_fit, [1.0, 2.0, 3.0], [1.0, 2.0])
        self.refused(ValueError, "correlation", d.uncertainty_combine, [1.0], [1.0],
                     [1.0, 0.0])

    def test_wrong_outs_are_named(self):
        read_only = memoryview(array.array("d", X)).toreadonly()
        for error, bad in ((TypeError, [0.0] * len(X)), (TypeError, "x"),
                           (TypeError, array.array("f", [0.0] * len(X))),
                           (ValueError, array.array("d", [0.0])), (ValueError, read_only),
                           (TypeError, (1, 2)), (TypeError, ())):
            self.refused(error, "out", CAM.lift_mm, X, out=bad)
        self.refused(TypeError, "out", CAM.lift_mm, 1.0, out=array.array("d", [0.0]))
        self.refused(TypeError, "out", d.cam_fall_deg, CAM, out=None)

    def test_overlap_is_refused(self):
        data = array.array("d", X + [0.0])
        view = memoryview(data)
        self.refused(ValueError, "out", CAM.lift_mm, view[:-1], out=view[1:])
        self.assertEqual(data, array.array("d", X + [0.0]))
        table = CAM.table()
        self.refused(ValueError, "out", d.camcompare_array, table, table, 1, 0.001, data,
                     out=(data, array.array("d", data)))

    def test_nothing_is_written_on_failure(self):
        out = array.array("d", [7.0, 7.0])
        with self.assertRaises(ValueError):
            CAM.lift_mm([1.0, float("nan")], out=out)
        self.assertEqual(list(out), [7.0, 7.0])

    def test_out_is_not_for_calls_within_the_call(self):
        class Odd:
            def __float__(self):
                return float(CAM.lift_mm([20.0])[0])
        out = array.array("d", [0.0, 0.0])
        CAM.lift_mm([Odd(), 20.0], out=out)
        self.assertEqual(list(out), list(CAM.lift_mm([CAM.lift_mm([20.0])[0], 20.0])))

    def test_threads_run_together(self):
        x = array.array("d", [i * 1e-3 for i in range(200_000)])
        alone = CAM.lift_mm(x)
        results = [None] * 4

        def work(k):
            results[k] = CAM.lift_mm(x)
        threads = [threading.Thread(target=work, args=(k,)) for k in range(4)]
        [thread.start() for thread in threads]
        [thread.join() for thread in threads]
        self.assertTrue(all(result == alone for result in results))

    def test_works_without_numpy(self):
        code = ("import sys; sys.modules['numpy'] = None; import dialarc; "
                "cam = dialarc.Cam(4, 2.2, 38, 2, 10, 'poly345'); "
                "print(type(cam.lift_mm([1.0, 2.0])).__name__)")
        out = subprocess.run([sys.executable, "-B", "-c", code], check=True,
                             capture_output=True, text=True).stdout
        self.assertEqual(out.strip(), "array")


@unittest.skipIf(np is None, "NumPy is not installed")
class NumPyArrays(unittest.TestCase):
    def test_results_are_arrays_of_the_same_shape(self):
        x = np.array(X[:6]).reshape(2, 3)
        lifts = CAM.lift_mm(x)
        self.assertIsInstance(lifts, np.ndarray)
        self.assertEqual(lifts.shape, (2, 3))
        self.assertIsInstance(CAM.lift_mm(X), np.ndarray)

    def test_scalars(self):
        for value in (np.float64(10.0), np.float32(10.0), np.int64(10), np.array(10.0)):
            self.assertIs(type(CAM.lift_mm(value)), float)
            self.assertEqual(CAM.lift_mm(value), CAM.lift_mm(10.0))

    def test_no_copy(self):
        x, out = np.linspace(0.0, 90.0, 1000), np.zeros(1000)
        part = out[200:700]
        self.assertIs(CAM.lift_mm(x[:500], out=part), part)
        self.assertTrue((out[200:700] == CAM.lift_mm(x[:500])).all())
        self.assertTrue((out[:200] == 0).all() and (out[700:] == 0).all())

    def test_wrong_arrays_are_named(self):
        x = np.array(X)
        for error, bad in ((TypeError, x.astype("f4")), (TypeError, x.astype("i8")),
                           (TypeError, x.astype(">f8")), (TypeError, x.astype(complex)),
                           (ValueError, np.zeros((4, 4))[:, 1]), (ValueError, x[::-1]),
                           (ValueError, np.asfortranarray(np.ones((3, 2)))),
                           (TypeError, np.array(["a"])), (TypeError, np.array([None]))):
            with self.assertRaises(error) as caught:
                CAM.lift_mm(bad)
            self.assertIn("pump_deg", str(caught.exception))
        for bad in (np.ma.array(X, mask=[True] + 6 * [False]), np.ma.array(X),
                    [1.0, np.ma.masked]):
            with self.assertRaisesRegex(TypeError, "pump_deg.*masked"):
                CAM.lift_mm(bad)
        with self.assertRaisesRegex(TypeError, "out.*masked"):
            CAM.lift_mm(x, out=np.ma.zeros(len(X)))
        with self.assertRaisesRegex(TypeError, "Sweep.dial_mm.*masked"):
            d.Sweep(x, np.ma.masked_invalid([np.nan] + X[1:]))
        with self.assertRaisesRegex(TypeError, "masked"):
            d.angle_wrap(np.ma.masked, 360.0)
        frozen = np.zeros(len(X))
        frozen.flags.writeable = False
        with self.assertRaisesRegex(ValueError, "out"):
            CAM.lift_mm(x, out=frozen)


class LongArrays(unittest.TestCase):
    """They go through the library in blocks of 65,536, which nobody sees."""
    TABLE, FOLLOWER = CAM.table(), d.Follower(40.0, 6.0)
    CALLS = (  # how many arrays go in, and come out
        (1, 1, lambda x, **out: CAM.lift_mm(x, **out)),
        (1, 1, lambda x, **out: d.angle_wrap(x, 7.0, **out)),
        (2, 1, lambda x, y, **out: d.conformity_probability(x, y, 1.0, 2.0, **out)),
        (1, 2, lambda x, **out: d.camcompare_array(
            LongArrays.TABLE, LongArrays.TABLE, 1, 0.001, x, **out)),
        (3, 2, lambda x, y, z, **out: d.follower_surface(
            LongArrays.FOLLOWER, x, y, z, **out)))

    @staticmethod
    def numbers(n, first):
        return array.array("d", (first + 0.37 * k % 50.0 for k in range(n)))

    def test_as_in_pieces(self):
        for n in (65535, 65536, 65537, 131072 + 3):
            for inputs, outputs, call in self.CALLS:
                x = [self.numbers(n, 0.1 * (k + 1)) for k in range(inputs)]
                got = call(*x)
                for k in (0, 65533, n - 3):
                    piece = call(*(one[k:k + 3] for one in x))
                    both = zip(got, piece) if outputs > 1 else ((got, piece),)
                    for long, short in both:
                        self.assertEqual(long[k:k + 3].tobytes(), short.tobytes())

    def test_out_takes_all_or_nothing(self):
        n = 131072 + 3
        for inputs, outputs, call in self.CALLS:
            x = [self.numbers(n, 0.1 * (k + 1)) for k in range(inputs)]
            out = tuple(array.array("d", [7.0]) * n for _ in range(outputs))
            whole = call(*x)
            x[0][n - 1] = float("nan")
            with self.assertRaisesRegex(ValueError, rf"\[{n - 1}\]"):
                call(*x, out=out if outputs > 1 else out[0])
            self.assertEqual({*out[0], *out[-1]}, {7.0})
            x[0][n - 1] = x[0][n - 2]
            call(*x, out=out if outputs > 1 else out[0])
            self.assertEqual(out[0][:n - 1].tobytes(),
                             (whole if outputs == 1 else whole[0])[:n - 1].tobytes())

    def test_in_place(self):
        x = self.numbers(131072 + 3, 0.1)
        wanted = CAM.lift_mm(x)
        CAM.lift_mm(x, out=x)
        self.assertEqual(x.tobytes(), wanted.tobytes())


if __name__ == "__main__":
    kit.main()
