"""Makes zones.tsv: knife-edge readings of known mirrors, ray by ray, and what those mirrors are worth.

A normal or a ray from the lamp is followed to the axis with vectors; the star's wavefront is the length
of each ray to the best focus; scipy integrates and finds the focus. Nothing is expanded in powers of r,
and nothing here shares a formula with src/optics.

    pip install numpy==2.4.6 scipy==1.17.1
    python make_zones.py          writes beside itself; takes a few seconds
"""

from pathlib import Path

import numpy as np
from scipy.integrate import quad
from scipy.optimize import minimize_scalar

HERE = Path(__file__).parent
WAVELENGTH_NM = 550.0

# name, aperture mm, R mm, conic constant, windows, defect (height of the glass, nm, of the radius fraction)
MIRRORS = [
    ("paraboloid", 150, 1830, -1.0, 5, None),
    ("under-corrected", 203, 2110, -0.88, 5, None),
    ("over-corrected", 250, 2260, -1.11, 6, None),
    ("sphere", 114, 1830, 0.0, 4, None),
    ("oblate", 130, 2590, 0.2, 4, None),
    ("nearly right", 300, 3010, -0.983, 7, None),
    ("low centre", 160, 2230, -1.0, 5, ("ring", -30.0, 0.0, 0.28)),
    ("ring", 200, 2400, -1.0, 6, ("ring", 60.0, 0.7, 0.07)),
    ("trench", 178, 2150, -0.97, 6, ("ring", -35.0, 0.45, 0.1)),
    ("hidden turned edge", 150, 2400, -0.99, 5, ("edge", 400.0, 0.035, 0.0)),
]


def height_nm(defect, rho):
    if defect is None:
        return 0.0 * rho
    kind, size, where, width = defect
    if kind == "ring":
        return size * np.exp(-(((rho - where) / width) ** 2) / 2)
    beyond = np.maximum(rho - (1 - where), 0.0) / where
    return -size * beyond ** 2


class Mirror:
    def __init__(self, aperture, radius, conic, defect):
        self.a, self.radius, self.conic, self.defect = aperture / 2, radius, conic, defect

    def z(self, r):
        c = 1 / self.radius
        return c * r * r / (1 + np.sqrt(1 - (1 + self.conic) * (c * r) ** 2)) + height_nm(self.defect, r / self.a) * 1e-6

    def slope(self, r):
        c = 1 / self.radius
        bare = c * r / np.sqrt(1 - (1 + self.conic) * (c * r) ** 2)
        if self.defect is None:
            return bare
        kind, size, where, width = self.defect
        rho = r / self.a
        if kind == "ring":
            steep = -height_nm(self.defect, rho) * (rho - where) / width ** 2
        else:
            steep = -2 * size * np.maximum(rho - (1 - where), 0.0) / where ** 2
        return bare + steep * 1e-6 / self.a

    def reading(self, source, r):
        """Where the light comes back to the axis, mm beyond R."""
        spot = np.array([r, self.z(r)])
        normal = np.array([-self.slope(r), 1.0])
        normal /= np.linalg.norm(normal)
        if source == "moving":
            back = normal
        else:
            to_lamp = np.array([0.0, self.radius]) - spot
            to_lamp /= np.linalg.norm(to_lamp)
            back = 2 * (to_lamp @ normal) * normal - to_lamp
        return spot[1] - spot[0] * back[1] / back[0] - self.radius

    def window(self, source, inner, outer):
        """Mean of the reading over the window's area."""
        whole = quad(lambda r: self.reading(source, r) * r, inner, outer, epsabs=1e-6, epsrel=1e-8)[0]
        return whole / ((outer ** 2 - inner ** 2) / 2)

    def path_nm(self, r, focus):
        """From a plane wave by the mirror to the focus, less the way of the middle ray."""
        at = self.z(r)
        middle = self.z(0.0)
        return ((np.hypot(r, focus - at) - at) - (focus - 2 * middle)) * 1e6

    def worth(self):
        # Equal areas: Gauss-Legendre in r^2, in pieces so that an edge is met.
        knots = [0.0, 0.1, 0.3, 0.5, 0.7, 0.85, 1.0]
        if self.defect and self.defect[0] == "edge":
            knots.insert(-1, (1 - self.defect[2]) ** 2)
        x, w = np.polynomial.legendre.leggauss(60)
        u = np.concatenate([(lo + hi) / 2 + x * (hi - lo) / 2 for lo, hi in zip(knots, knots[1:])])
        w = np.concatenate([w * (hi - lo) / 2 for lo, hi in zip(knots, knots[1:])])
        r = self.a * np.sqrt(u)

        def at_focus(shift):
            p = self.path_nm(r, self.radius / 2 + shift)
            return p - w @ p

        def rms(shift):
            return np.sqrt(w @ at_focus(shift) ** 2)

        def dimness(shift):
            return -abs(w @ np.exp(2j * np.pi * at_focus(shift) / WAVELENGTH_NM)) ** 2

        best = minimize_scalar(rms, bracket=(-0.2, 0.0), options=dict(xtol=1e-10)).x
        # Defocus of a wave is 8 lambda F^2: a coarse row of that length, then the finest near its best.
        wave = 8 * WAVELENGTH_NM * 1e-6 * (self.radius / 4 / self.a) ** 2
        start = min(np.linspace(best - wave, best + wave, 81), key=dimness)
        sharpest = minimize_scalar(dimness, bounds=(start - wave / 20, start + wave / 20), method="bounded", options=dict(xatol=1e-8))
        fine = self.path_nm(self.a * np.linspace(0, 1, 4001), self.radius / 2 + best)
        tenths = self.path_nm(self.a * np.linspace(0, 1, 11), self.radius / 2 + best)
        tenths = tenths - w @ self.path_nm(r, self.radius / 2 + best)
        return rms(best), np.ptp(fine), -sharpest.fun, tenths


def main():
    with open(HERE / "zones.tsv", "w") as out:
        out.write("# What:    knife-edge readings of known mirrors through equal-area windows, ray by ray, and the truth of each:\n"
                  "#          readings at the window's mid radius, at the radius that halves its area (spot), or their mean over it (window);\n"
                  "#          RMS and P-V of the wavefront at the focus of least RMS, highest Strehl at 550 nm, wavefront at each tenth\n"
                  "# Source:  numpy 2.4.6, scipy 1.17.1; tests/reference/make_zones.py\n"
                  "# Licence: MIT, computed here\n# Checked by: tests/it/knife.rs\n")
        out.write("name\taperture_mm\tradius_mm\tsource\treading_at\tedges_mm\treadings_mm\trms_nm\tpv_nm\tstrehl\tprofile_nm\n")
        for name, aperture, radius, conic, windows, defect in MIRRORS:
            mirror = Mirror(aperture, radius, conic, defect)
            rms, pv, strehl, tenths = mirror.worth()
            edges = [round(mirror.a * np.sqrt(i / windows), 1) for i in range(windows + 1)]
            pairs = list(zip(edges, edges[1:]))
            for source in ("fixed", "moving"):
                at_radius = {"middle": [(lo + hi) / 2 for lo, hi in pairs], "spot": [np.hypot(lo, hi) / np.sqrt(2) for lo, hi in pairs]}
                ways = [(at, [mirror.reading(source, r) for r in radii]) for at, radii in at_radius.items()]
                if defect is None or defect[0] != "edge":
                    ways.append(("window", [mirror.window(source, lo, hi) for lo, hi in pairs]))
                for at, readings in ways:
                    out.write("\t".join([name, str(aperture), str(radius), source, at,
                                         ";".join(str(float(e)) for e in edges), ";".join(f"{v + 0.0:.5f}" for v in readings).replace("-0.00000", "0.00000"),
                                         f"{rms:.3f}", f"{pv:.2f}", f"{strehl:.5f}", ";".join(f"{v:.2f}" for v in tenths).replace("-0.00", "0.00")]) + "\n")


main()
