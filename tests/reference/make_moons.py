"""Write moons.tsv: Jupiter's moons by another theory, Lieske's E5 as Meeus prints it.

    python -m pip install -r data/build/requirements.txt
    python tests/reference/make_moons.py

E5: Lieske 1998, Astron. Astrophys. Suppl. 129, 205; Meeus, Astronomical Algorithms, 2nd ed., chapter 44, "high accuracy",
as carried by PyMeeus 0.5.12. The theory was fitted to other observations by other people than ours: where both agree,
it is not by transcription. Against JPL's ephemerides its moons run up to some 180 s early or late.
"""

import pathlib

import numpy as np
from pymeeus.Epoch import Epoch
from pymeeus.JupiterMoons import JupiterMoons

OUT = pathlib.Path(__file__).with_name("moons.tsv")
MOONS = ["io", "europa", "ganymede", "callisto"]
HEAD = """\
# What:     Jupiter's moons seen from the Earth's centre at 60 random instants of TT, 1960-2050: x west along Jupiter's projected
#           equator, y toward its north pole, z toward us, in its equatorial radii; light time and perspective included.
# Source:   theory E5 (Lieske 1998, Astron. Astrophys. Suppl. 129, 205) in the form of Meeus, Astronomical Algorithms, 2nd ed.,
#           ch. 44, computed by PyMeeus 0.5.12 (LGPL; used as a tool, nothing of it kept).
# Obtained: written by tests/reference/make_moons.py.
# Licence:  computed figures, free.
# Checked by: tests/it/sky/moons.rs
"""


def main():
    days = np.sort(np.random.default_rng(44).uniform(2436934.5, 2469807.5, 60)).round(4)
    lines = ["tt_jd\tmoon\tx_west\ty_north\tz_near"]
    for jd in days:
        places = JupiterMoons.rectangular_positions_jovian_equatorial(Epoch(jd), solar=False)
        for moon, (x, y, z) in zip(MOONS, places):
            lines.append(f"{jd:.4f}\t{moon}\t{x:.5f}\t{y:.5f}\t{-z:.5f}")
    OUT.write_text(HEAD + "\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
