# SPDX-License-Identifier: GPL-3.0-or-later
"""Plans and what they foretell, as objects: as the calls of C give them."""
import math
import unittest

import kit
from kit import DEMO, dialarc as d

SETUPS = d.read_setups(DEMO / "setups.csv")
SETUP = SETUPS["heron4"]
SWEEP = d.read_sweeps(DEMO / "sweeps.csv", SETUPS)[0]
REACH = (-90.0, 20.0, 2.0)


class Guide(unittest.TestCase):
    def test_what_is_chosen_is_better_than_even(self):
        chosen = d.choose_readings(SETUP, 12, REACH, both_ways=False)
        self.assertEqual(len(chosen), 12)
        self.assertEqual(list(chosen), sorted(chosen))
        self.assertIn(0.0, list(chosen))
        even = [-90.0 + 10.0 * k for k in range(12)]
        self.assertLess(d.expect(SETUP, chosen).lift_u_mm,
                        d.expect(SETUP, even).lift_u_mm)

    def test_both_ways_where_the_setup_allows_it(self):
        self.assertEqual(SETUP.turn_back, d.TurnBack.ALLOWED)
        both = list(d.choose_readings(SETUP, 20, REACH))
        turn = both.index(20.0)
        self.assertLess(turn, 19)
        self.assertEqual(both[turn:], sorted(both[turn:], reverse=True))
        reach = d.Reach(*REACH, 1)
        self.assertEqual(list(d.choose_readings(SETUP, 20, reach)), both)

    def test_as_in_c(self):
        angles = [-80.0, -60.0, -40.0, -20.0, 0.0, 5.0, 10.0, 15.0]
        self.assertEqual(d.expect(SETUP, angles),
                         d.design_expect(None, SETUP, 0.9, angles))
        self.assertEqual(d.expect(SETUP, range(-80, 20, 10), lift_mm=1.0).lift_mm, 1.0)
        none = d.Setup(lobes=4)
        self.assertEqual(d.expect(none, range(-90, 30, 4)).lift_mm, 0.9)

    def test_until_it_is_enough(self):
        first = d.next_reading(SETUP, [], [], reach=REACH)
        self.assertEqual(first.prospect, d.Prospect.MORE)
        self.assertEqual(first.direction, d.Direction.WITH)
        last = d.next_reading(SETUP, SWEEP.crank_deg, SWEEP.dial_mm, reach=REACH)
        self.assertEqual(last.prospect, d.Prospect.ENOUGH)
        self.assertTrue(math.isnan(last.crank_deg))
        one = d.next_reading(SETUP, [-50.0], [0.0], "with", reach=REACH)
        self.assertEqual(one, d.next_reading(SETUP, [-50.0], [0.0], ["with"],
                                             reach=REACH))

    def test_live(self):
        live = d.LiveSweep(SETUP, REACH, both_ways=False)
        text = "".join(f"{x:g} {y:+.3f} mm\r\n" for x, y in
                       zip(SWEEP.crank_deg, SWEEP.dial_mm) if -90 <= x <= 20)
        data = text.encode()
        heard = []
        for k in range(0, len(data), 7):
            heard += live.hear(data[k:k + 7], float(k))
        self.assertLessEqual(set(heard), {d.Heard.READING, d.Heard.FROM_BEHIND,
                                          d.Heard.REPEATED, d.Heard.BLANK})
        self.assertGreater(len(live), 20)
        self.assertEqual(live.lines[0] + "\r\n", text[:text.index("\n") + 1])
        timing = d.live_timing(live._live)
        self.assertEqual(live.assessment.timing, timing)
        self.assertEqual(live.hear("back\nrubbish\n0 99\nturn\n"), [
            d.Heard.STRUCK, d.Heard.NOT_UNDERSTOOD, d.Heard.TOO_LARGE, d.Heard.NOT_BACK])
        self.assertIn("unit", d.Heard.TOO_LARGE.text)
        again = d.LiveSweep(SETUP, REACH, both_ways=False)
        for one in live:
            again.add(one.crank_deg, one.dial_mm, one.direction, one.time_s)
        self.assertEqual(again.next(), live.next())
        self.assertEqual(again.lines, [""] * len(live))
        self.assertRaises(TypeError, d.LiveSweep, None)
        self.assertRaises(ValueError, live.hear, "1\n", math.nan)

    def test_what_is_refused(self):
        self.assertRaises(TypeError, d.choose_readings, SETUP, 12, 5.0)
        self.assertRaises(TypeError, d.choose_readings, SETUP, 12, (1.0, 2.0))
        self.assertRaises(TypeError, d.choose_readings, SETUP, "12", REACH)
        self.assertRaises(ValueError, d.choose_readings, SETUP, 5, REACH)
        self.assertRaises(ValueError, d.choose_readings, SETUP, 10**6, REACH)
        self.assertRaises(ValueError, d.choose_readings, SETUP, 12, (5.0, 20.0, 1.0))
        self.assertRaises(ValueError, d.expect, SETUP, [])
        self.assertRaises(ValueError, d.expect, SETUP, [math.nan])
        self.assertRaises(TypeError, d.expect, None, [0.0])
        self.assertRaises(TypeError, d.expect, SETUP, ["a"])
        self.assertRaises(ValueError, d.next_reading, SETUP, [1.0], [math.nan])
        with self.assertRaises(d.InputError) as caught:
            d.choose_readings(SETUP, 12, REACH, lift_mm=9.0)
        self.assertEqual(caught.exception.status, d.Status.ERR_LIFT)


if __name__ == "__main__":
    kit.main()
