# SPDX-License-Identifier: GPL-3.0-or-later
"""Structs, enumerations and exceptions behave as Python's own."""
import copy
import gc
import inspect
import math
import pickle
import unittest

import kit
from kit import DEMO, dialarc as d
from dialarc._headers import ENUMS, FUNCTIONS, RECORDS

SETUPS = d.read_setups(DEMO / "setups.csv")
SWEEPS = d.read_sweeps(DEMO / "sweeps.csv", SETUPS)


def every_record():
    checked = {"Cam": kit.cam(), "Crank": d.Crank(40.0, 130.0, 0.0),
               "Dial": d.Dial(0.01, 1.0, 1, 0.0, "flat"), "Setup": SETUPS["heron4"],
               "Stage": d.Stage(20, 40, 0, 9.525, 0.1, 0.05)}
    result = d.assess_sweep(SWEEPS[0].setup, SWEEPS[0])
    checked.update(Timing=result.timing, Decision=result.decision,
                   Whatif=d.whatif_from_setup(SETUPS["heron4"]))
    return [checked.get(name) or getattr(d, name)() for name in RECORDS]


class Records(unittest.TestCase):
    def test_copies_and_pickles_are_equal(self):
        for record in every_record():
            with self.subTest(type(record).__name__):
                for again in (copy.copy(record), copy.deepcopy(record), record.copy(),
                              *(pickle.loads(pickle.dumps(record, p))
                                for p in (0, 2, 5))):
                    self.assertEqual(again, record)
                    self.assertIsNot(again, record)
                    self.assertEqual(repr(again), repr(record))

    def test_several_results_have_names(self):
        table = kit.cam().table(360)
        got = table.range()
        self.assertEqual(got, (got.period_deg, got.low_mm, got.high_mm))
        self.assertEqual(got.period_deg, 90)
        self.assertTrue(repr(got).startswith("CamtableRange(period_deg=90.0, "))
        for again in (pickle.loads(pickle.dumps(got)), copy.copy(got)):
            self.assertEqual((type(again), again), (d.CamtableRange, got))
        shift = d.camcompare_array(table, table, 1, 0.005, [10.0, 20.0]).shift_pump_deg
        self.assertEqual(list(shift), [0, 0])
        for name, about in FUNCTIONS.items():
            if about["results"]:
                self.assertNotIn(about["results"][0], RECORDS, name)
                self.assertNotIn(about["results"][0], ENUMS, name)

    def test_whatever_holds_a_cam_keeps_its_table(self):
        law = kit.cam()
        cam, case = law.table(720).cam(), d.whatif_from_setup(SETUPS["heron4"])
        case.cam = cam
        again, copied, table = cam.copy(), case.copy(), cam.lobe_table
        del cam
        gc.collect()
        self.assertEqual(again.lobe_table, table)
        self.assertIsNone(law.lobe_table)
        for one in (again, case.cam, copied.cam):
            self.assertAlmostEqual(one.lift_mm(21.7), law.lift_mm(21.7), delta=1e-6)
        self.assertAlmostEqual(d.delivery_start(again, 2, 0.3, 0.9),
                               d.delivery_start(law, 2, 0.3, 0.9), delta=1e-2)
        self.assertEqual(again.to_dict()["lobe_table"]["period_deg"], 90)
        again.lobe_table = None
        self.assertIsNone(again.lobe_table)
        self.assertAlmostEqual(table.lift_mm([21.7])[0], law.lift_mm(21.7), delta=1e-6)

    def test_whatever_holds_a_setup_keeps_its_calibration(self):
        setup = SETUPS["heron4"].copy()
        self.assertIsNone(setup.dial_calibration)
        made = d.DialCal([0.0, 1.0, 2.5], [0.0, 1.004, 2.5], 0.001)
        setup.dial_calibration = made
        again, job = setup.copy(), pickle.loads(pickle.dumps(setup))
        del made
        gc.collect()
        setup.dial_calibration = None
        self.assertIsNone(setup.dial_calibration)
        for one in (again, job):
            kept = one.dial_calibration
            self.assertEqual((list(kept.shown_mm), list(kept.true_mm), kept.u_mm),
                             ([0.0, 1.0, 2.5], [0.0, 1.004, 2.5], 0.001))
            self.assertEqual((len(kept), kept.to_true(0.5), kept.to_shown(0.502)),
                             (3, 0.502, 0.5))
        self.assertEqual(again, job)
        self.assertNotEqual(again, setup)
        self.assertEqual(again.to_dict()["dial_calibration"]["u_mm"], 0.001)
        with self.assertRaises(TypeError):
            again.dial_calibration = 1
        self.assertNotEqual(kept, d.DialCal([0.0, 1.0], [0.0, 1.0]))

    def test_repr_and_dict_name_every_field(self):
        for record in every_record():
            name = type(record).__name__
            self.assertTrue(repr(record).startswith(name + "("))
            if name != "Findings":
                self.assertEqual(list(record.to_dict()),
                                 [f for f, _ in RECORDS[name]["fields"]])

    def test_a_word_that_is_none_is_told_those_that_are(self):
        cam = kit.cam()
        for words, begin, call in (
                (d.Law, "law: 'poly' is no Law; there are ", lambda: kit.cam(law="poly")),
                (d.Flank, "cam_angle_at_lift(): flank: 'up' is no Flank; there are ",
                 lambda: d.cam_angle_at_lift(cam, 1.0, "up")),
                (d.Finding, "finding_text(): finding: 'none' is no Finding; there are ",
                 lambda: d.finding_text("none"))):
            text = self.text_of(call)
            self.assertTrue(text.startswith(begin), text)
            for word in words:
                self.assertIn(str(word), text)

    def text_of(self, call):
        with self.assertRaises(Exception) as caught:
            call()
        return str(caught.exception)

    def test_an_argument_that_is_none_is_told_those_that_are(self):
        self.assertIn("cam_lift(): no argument is called 'deg'; it is cam_lift(cam, ",
                      self.text_of(lambda: d.cam_lift(kit.cam(), deg=1.0)))
        text = self.text_of(lambda: d.Setup(lobs=4))
        self.assertIn("Setup(): no argument is called 'lobs'; they are lobes, ", text)
        self.assertIn("lift_low_mm", text)

    def test_dict_makes_the_record_again(self):
        for record in (kit.cam(), d.Crank(40.0, 130.0, 1.0), SETUPS["otter4"]):
            self.assertEqual(type(record)(**record.to_dict()), record)

    def test_copies_share_nothing(self):
        cam = kit.cam()
        other = cam.copy()
        other.total_lift_mm = 3.0
        self.assertEqual(cam.total_lift_mm, 2.2)
        self.assertNotEqual(cam, other)
        self.assertRaises(TypeError, hash, cam)

    def test_fields_inside_fields(self):
        case = d.whatif_from_setup(SETUPS["heron4"])
        case.cam.total_lift_mm = 2.3
        self.assertEqual(case.cam.total_lift_mm, 2.3)
        case.cam = kit.cam(lift_mm=2.4)
        self.assertEqual(case.cam.total_lift_mm, 2.4)
        case.input[d.WhatifInput.SLACK].centre = 0.5
        self.assertEqual(case.input[d.WhatifInput.SLACK].centre, 0.5)
        inner = d.whatif_from_setup(SETUPS["heron4"]).cam  # outlives its owner's name
        self.assertEqual(inner.lobes, 4)
        with self.assertRaises(TypeError):
            case.cam = None

    def test_wrong_keywords_and_values_are_named(self):
        for error, name, call in (
                (TypeError, "lift", lambda: kit.cam(lift=1.0)),
                (TypeError, "lift_mm", lambda: kit.cam(lift_mm="x")),
                (TypeError, "lobes", lambda: kit.cam(lobes=4.5)),
                (OverflowError, "lobes", lambda: kit.cam(lobes=2**40)),
                (ValueError, "law", lambda: kit.cam(law="round")),
                (TypeError, "law", lambda: kit.cam(law=1.5)),
                (TypeError, "lobes", lambda: d.Cam(4, lobes=4)),
                (TypeError, "9 arguments", lambda: d.Cam(*range(10))),
                (TypeError, "lobe_table", lambda: setattr(kit.cam(), "lobe_table", 1)),
                (TypeError, "coefficient", lambda: d.Minimum(coefficient=1j)),
                (ValueError, "coefficient", lambda: d.Minimum(coefficient=[1.0])),
                (ValueError, "covariance", lambda: d.Minimum(covariance=[[1.0] * 3])),
                (TypeError, "cam", lambda: d.cam_lift(None, 1.0)),
                (TypeError, "cam", lambda: d.cam_lift(d.Crank(1.0, 9.0), 1.0)),
                (TypeError, "stage", lambda: d.drive_ratio(None)),
                (TypeError, "stage[1]",
                 lambda: d.drive_ratio([d.Stage(1, 1, 0, 1.0), 3])),
                (TypeError, "model", lambda: d.propagate_linear([d.Input()], None)),
                (ValueError, "correlation", lambda: d.propagate_budget(
                    [d.Input()], [1.0, 0.5], lambda x: x[0])),
                (TypeError, "name", lambda: d.law_from_name(None)),
                (ValueError, "name", lambda: d.law_from_name("a\0b")),
                (TypeError, "path", lambda: d.setups_load(None)),
                (TypeError, "read", lambda: d.setups_read(3)),
                (TypeError, "seed", lambda: d.whatif_propagate(d.Whatif(), 200, None)),
                (OverflowError, "seed", lambda: d.whatif_propagate(d.Whatif(), 200, -1)),
                (TypeError, "pump_deg", lambda: d.cam_lift(kit.cam())),
                (TypeError, "angle", lambda: d.cam_lift(kit.cam(), angle=1.0)),
                (TypeError, "twice", lambda: d.cam_lift(kit.cam(), 1.0, pump_deg=1.0)),
                (TypeError, "2 arguments", lambda: d.cam_lift(kit.cam(), 1.0, 2.0)),
                (ValueError, "cam.rise_deg", lambda: d.cam_check(nan_cam())),
                (ValueError, "firing_order", lambda: d.lobes_assign([1] * 65, 1, "cw")),
                (TypeError, "firing_order", lambda: d.lobes_assign([1, None], 1, "cw")),
                (IndexError, "index", lambda: d.setups_name(SETUPS, 99)),
                (IndexError, "index", lambda: d.setups_dial(SETUPS, 99)),
                (AttributeError, "lift", lambda: setattr(kit.cam(), "lift", 1.0)),
                (TypeError, "lobes", lambda: setattr(kit.cam(), "lobes", None))):
            with self.assertRaises(error) as caught:
                call()
            self.assertIn(name, str(caught.exception))

    def test_no_result_in_the_wrong_type(self):
        for record in every_record():
            for other in (None, 1, "x", object()):
                self.assertFalse(record == other)


def nan_cam():
    cam = kit.cam()
    cam.rise_deg = math.nan
    return cam


class Words(unittest.TestCase):
    def test_numbers_are_those_of_the_library(self):
        for name, (_, members) in ENUMS.items():
            for member, value, _ in members:
                self.assertEqual(getattr(d, name)[member], value)
        for law in d.Law:
            if law is not d.Law.UNKNOWN:
                self.assertIs(d.law_from_name(d.law_name(law)), law)
        for status in d.Status:
            self.assertEqual(d.status_name(status), "DIALARC_" + status.name)
        for finding in d.Finding:
            self.assertEqual(finding.code, finding.name.lower())
            self.assertTrue(finding.text.endswith("."))

    def test_any_spelling(self):
        for law in (d.Law.POLY345, "poly345", "POLY345", 3):
            self.assertIs(kit.cam(law=law).law, d.Law.POLY345)
        self.assertEqual(f"{d.Verdict.LOW} {d.Verdict.LOW!s}", "low low")

    def test_pickles(self):
        self.assertIs(pickle.loads(pickle.dumps(d.Law.POLY345)), d.Law.POLY345)


class Errors(unittest.TestCase):
    def test_they_carry_status_and_sentence(self):
        with self.assertRaises(d.InputError) as caught:
            d.cam_angle_at_lift(kit.cam(), 9.0, "rising")
        error = caught.exception
        self.assertIs(error.status, d.Status.ERR_LIFT)
        self.assertEqual(error.sentence, d.status_text("err_lift"))
        self.assertIn(error.sentence, str(error))
        self.assertIn("cam_angle_at_lift", str(error))
        self.assertIsInstance(error, ValueError)

    def test_tables_say_where(self):
        with self.assertRaises(d.TableError) as caught:
            d.read_setups(b"setup,lobes\na,4\nb,four\n")
        error = pickle.loads(pickle.dumps(caught.exception))
        self.assertEqual((error.line, error.row, error.column_name), (3, 2, "lobes"))
        self.assertEqual([fault.line for fault in error.faults], [3])

    def test_tables_say_all_that_is_wrong(self):
        rows = "".join(f"e{i},four,x\n" for i in range(15))
        with self.assertRaises(d.TableError) as caught:
            d.read_setups(f"setup,lobes,rise_deg\n{rows}".encode())
        error = pickle.loads(pickle.dumps(caught.exception))
        self.assertEqual(len(error.faults), 20)
        self.assertEqual(error.more, 10)
        self.assertEqual(error.faults[3].row, 2)
        self.assertEqual(error.faults[3].column_name, "rise_deg")
        lines = str(error).split("\n")
        self.assertEqual(len(lines), 21)
        self.assertEqual(lines[-1], "and 10 more")
        self.assertIn("line 3 (row 2), column rise_deg", lines[3])

    def test_files_are_told_by_name(self):
        with self.assertRaises(d.FileError) as caught:
            d.read_setups("no such file.csv")
        self.assertIn("no such file.csv", str(caught.exception))
        self.assertIsInstance(caught.exception, OSError)

    def test_inputs_that_are_correlated(self):
        inputs = [d.Input("normal", 3.0, 0.1), d.Input("normal", 4.0, 0.2)]
        together = [1.0, 0.5, 0.5, 1.0]
        both = d.propagate_budget(inputs, together, lambda x: x[0] * x[1])
        self.assertAlmostEqual(both.sd, 0.76 ** 0.5, 6)
        many = d.propagate_adaptive(inputs, together, lambda x: x[0] * x[1], 1, 20000, 1,
                                    0.95)
        self.assertEqual(many.trials, 20000)
        self.assertAlmostEqual(many.output.sd, both.sd, 1)

    def test_errors_of_models_and_files_come_through(self):
        with self.assertRaises(ZeroDivisionError):
            d.propagate_linear([d.Input("normal", 1.0, 0.1)], lambda x: 1 / 0)

        class Broken:
            def read(self, size):
                raise KeyError("broken")
        with self.assertRaises(KeyError):
            d.read_setups(Broken())
        with self.assertRaises(TypeError), (DEMO / "setups.csv").open() as text:
            d.read_setups(text)


class Signatures(unittest.TestCase):
    def test_functions(self):
        for name, about in FUNCTIONS.items():
            signature = inspect.signature(getattr(d, name))
            self.assertEqual(tuple(signature.parameters)[:len(about["names"])],
                             about["names"])
        self.assertIs(pickle.loads(pickle.dumps(d.cam_lift)), d.cam_lift)


if __name__ == "__main__":
    kit.main()
