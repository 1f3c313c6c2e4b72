# SPDX-License-Identifier: GPL-3.0-or-later
"""Each picture is drawn, is the same each time, and says what it must."""
import importlib.util
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

import kit
from kit import DEMO, dialarc as d

SETUPS = d.read_setups(DEMO / "setups.csv")
EACH = d.assess_each(d.read_sweeps(DEMO / "sweeps.csv", SETUPS))


class WithoutMatplotlib(unittest.TestCase):
    def test_the_error_says_what_to_install(self):
        code = ("import sys; sys.modules['matplotlib'] = None; import dialarc; "
                "dialarc.plot.cam(dialarc.Cam(4, 2.2, 38, 2, 10, 'poly345'))")
        done = subprocess.run([sys.executable, "-B", "-c", code], capture_output=True,
                              text=True)
        self.assertIn("dialarc.plot needs Matplotlib", done.stderr)


@unittest.skipUnless(importlib.util.find_spec("matplotlib") and
                     importlib.util.find_spec("numpy"), "Matplotlib is not installed")
class Pictures(unittest.TestCase):
    def drawn(self, draw, *words):
        with tempfile.TemporaryDirectory() as folder:
            draw().savefig(Path(folder) / "a.svg")
            text = (Path(folder) / "a.svg").read_text()
        for word in words:
            self.assertIn(word, text)

    def test_saved_twice_is_the_same(self):
        with tempfile.TemporaryDirectory() as folder:
            first = d.plot.save(d.plot.budget(EACH[0]), Path(folder) / "a")
            again = d.plot.save(d.plot.budget(EACH[0]), Path(folder) / "b")
            self.assertEqual([p.suffix for p in first], [".svg", ".png"])
            for one, other in zip(first, again):
                self.assertEqual(one.read_bytes(), other.read_bytes())

    def test_sweeps(self):
        self.drawn(lambda: d.plot.sweep(EACH[0]), "window 0.88 to 0.92 mm",
                   "in the window", "graduations")
        for result in EACH[1:]:
            d.plot.sweep(result)
        d.plot.sweep(d.assess(d.Setup(lobes=4), [0.0, 1.0], [0.1, 0.2]))

    def test_the_verdict_in_words(self):
        words = {"in": "in the window", "low": "too low", "high": "too high"}
        said = set()
        for result in EACH:
            verdict = str(result.decision.verdict)
            title = d.plot.sweep(result).axes[0].get_title(loc="left") or \
                d.plot.sweep(result).axes[0].get_title()
            if verdict in words:
                self.assertTrue(title.endswith(f": {words[verdict]}"), title)
                said.add(verdict)
        self.assertEqual(said, set(words))

    def curves(self, figure):
        """What every line of a figure goes through, in their order."""
        return [list(line.get_ydata()) for axes in figure.axes for line in axes.lines]

    def assert_alike(self, one, other):
        self.assertEqual([len(curve) for curve in one], [len(curve) for curve in other])
        for ours, theirs in zip(one, other):
            for a, b in zip(ours, theirs):
                self.assertAlmostEqual(a, b, delta=1e-6)

    def test_a_falling_dial_gives_the_same_picture(self):
        """A dial mounted the other way round, zeroed elsewhere, reads 5 mm less the same
        lifts: pictures of lifts do not change."""
        sweep, setup = EACH[0].sweep, EACH[0].setup.copy()
        setup.dial_sense = -1
        falling = d.assess(setup, sweep.crank_deg, [5.0 - x for x in sweep.dial_mm])
        self.assertAlmostEqual(falling.lift_mm, EACH[0].lift_mm, delta=1e-6)
        for draw in (d.plot.slack_loop, d.plot.sweep):
            self.assert_alike(self.curves(draw(falling))[:3],
                              self.curves(draw(EACH[0]))[:3])

    def test_rounds_of_a_falling_dial_give_the_same_picture(self):
        job = d.read_rounds(DEMO / "rounds.csv", SETUPS)[0]
        setup = job.setup.copy()
        setup.dial_sense = -1
        falling = [d.Round(r.round, 5.0 - r.minimum_mm, 5.0 - r.tdc_mm, r.tight)
                   for r in job.rounds]
        self.assert_alike(self.curves(d.plot.rounds(setup, falling)),
                          self.curves(d.plot.rounds(job.setup, job.rounds)))

    def test_slack(self):
        self.drawn(lambda: d.plot.slack_loop(EACH[0]), "slack 3.13 crank degrees")
        self.drawn(lambda: d.plot.slack_loop(EACH[4]), "not determined")

    def test_budget(self):
        self.drawn(lambda: d.plot.budget(EACH[0]), "Weakest point", "together")

    def test_rounds(self):
        for job in d.read_rounds(DEMO / "rounds.csv", SETUPS):
            self.drawn(lambda: d.plot.rounds(job.setup, job), "round")

    def test_lobes(self):
        result = d.lobes_estimate(None, EACH[0].setup, EACH[0].sweep)[1]
        self.drawn(lambda: d.plot.lobes(result), "lobe")

    def test_tornado(self):
        case = d.whatif_from_setup(SETUPS["heron4"])
        self.drawn(lambda: d.plot.tornado(case), "tooth of the sprocket", "cut off")
        self.drawn(lambda: d.plot.tornado(case, {"slack": 1.0}), "slack left in")
        self.assertRaisesRegex(ValueError, "'sluck' is no input; there are .*slack",
                               d.plot.tornado, case, {"sluck": 1.0})

    def test_cam(self):
        self.drawn(lambda: d.plot.cam(kit.cam()), "poly345 rise of 2.2 mm")


if __name__ == "__main__":
    kit.main()
