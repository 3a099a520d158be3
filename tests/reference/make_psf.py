"""Makes psf.tsv: Strehl ratio, MTF, encircled energy and width of the image by two other libraries.

The pupil is built on a square grid here; prysm's FFT makes image and MTF, poppy's matrix transform
makes the core of the image for encircled energy and width, and scipy finds the tilt and focus of
the highest peak. Nothing here shares a formula with src/optics.

    pip install prysm==0.21.1 poppy==1.1.2 astropy==8.0.2 numpy==2.4.6 scipy==1.17.1
    python make_psf.py            writes beside itself; takes some minutes
"""

from pathlib import Path

import astropy.units as u
import numpy as np
import poppy
from prysm.coordinates import cart_to_polar
from prysm.otf import mtf_from_psf
from prysm.polynomials import zernike_nm
from prysm.propagation import Wavefront
from scipy.ndimage import map_coordinates
from scipy.optimize import brentq, minimize

HERE = Path(__file__).parent
SAMPLES = 1200
SUPER = 10
WAVELENGTH_NM = 550.0
FREQUENCIES = np.arange(1, 20) * 0.05
AIRY = 1.219669891266504
PER_UNIT = 16       # points of the image's core to one wavelength times focal ratio
CORE = 5.2          # and how many of those units across


def ring(height, at, width):
    return [(r, height * np.exp(-((r - at) / width) ** 2 / 2)) for r in np.round(np.linspace(0, 1, 101), 2)]


def edge(depth, width):
    return [(r, depth * max(0.0, (r - 1 + width) / width) ** 2) for r in np.round(np.linspace(0, 1, 201), 3)]


# name, obstruction, vane over diameter, {(n, m): nm}, [(rho, nm), ...] on the wavefront.
# Vanes are whole pixels wide (an even number), so that their edges lie on pixel borders.
CASES = [
    ("perfect", 0.0, 0.0, {}, []),
    ("perfect obstructed", 0.35, 0.0, {}, []),
    ("perfect with vanes", 0.25, 0.01, {}, []),
    ("spherical", 0.0, 0.0, {(4, 0): 41.0}, []),
    ("spherical obstructed", 0.3, 0.005, {(4, 0): -55.0}, []),
    ("two spherical orders", 0.2, 0.01, {(4, 0): -28.0, (6, 0): -15.0, (2, 0): -32.0}, []),
    ("astigmatism", 0.0, 0.01, {(2, 2): -50.0, (2, -2): -35.0}, []),
    ("astigmatism obstructed", 0.25, 0.0, {(2, -2): 40.0}, []),
    ("coma", 0.0, 0.0, {(3, 1): 50.0}, []),
    ("coma obstructed", 0.35, 0.01, {(3, -1): 45.0, (1, 1): 200.0}, []),
    ("trefoil and more", 0.2, 0.0, {(3, 3): 25.0, (2, 2): 20.0, (4, 0): 20.0, (4, 2): 12.0}, []),
    ("ring", 0.2, 0.0, {}, ring(120.0, 0.7, 0.06)),
    ("ring with vanes", 0.15, 0.01, {}, ring(-160.0, 0.55, 0.1)),
    ("turned edge", 0.0, 0.0, {}, edge(400.0, 0.06)),
    ("turned edge obstructed", 0.25, 0.005, {}, edge(-600.0, 0.1)),
    ("one wave", 0.2, 0.0, {(4, 0): 120.0, (2, 2): 20.0}, []),
]


def pupil(obstruction, vane):
    """Grey-edged: the lit share of each pixel."""
    n = SAMPLES * SUPER
    at = (np.arange(n) - (n - 1) / 2) / (n / 2)
    lit = np.zeros((SAMPLES, SAMPLES))
    for row in range(SAMPLES):
        y = at[row * SUPER:(row + 1) * SUPER, None]
        r2 = at[None, :] ** 2 + y ** 2
        inside = (r2 <= 1) & (r2 >= obstruction ** 2) & (np.abs(at[None, :]) >= vane) & (np.abs(y) >= vane)
        lit[row] = inside.reshape(SUPER, SAMPLES, SUPER).mean(axis=(0, 2))
    return lit


def path_nm(terms, profile, rho, theta):
    path = np.zeros_like(rho)
    for (n, m), nm in terms.items():
        path += nm * zernike_nm(n, m, rho, theta, norm=True)
    if profile:
        path += np.interp(rho, *zip(*profile))
    return path


def at_best_focus(lit, path, x, y, rho):
    """Highest peak over that of the same pupil without error, and the path left there."""
    on = lit > 0
    w, p = lit[on] / lit[on].sum(), path[on]
    basis = np.stack([x[on], y[on], rho[on] ** 2 - 0.5])
    k = 2j * np.pi / WAVELENGTH_NM

    def dimness(c):
        return -abs((w * np.exp(k * (p - c @ basis))).sum()) ** 2

    fit = np.linalg.lstsq(np.vstack([np.ones_like(p), basis]).T * np.sqrt(w)[:, None], p * np.sqrt(w), rcond=None)[0][1:]
    starts = [fit + np.array([0, 0, focus]) for focus in np.arange(-300, 301, 75.0)]
    best = min((minimize(dimness, s, method="Nelder-Mead", options=dict(xatol=3e-3, fatol=1e-9)) for s in
                sorted(starts, key=dimness)[:2]), key=lambda r: r.fun)
    # Once more from there: the simplex may have stopped on a ridge.
    best = minimize(dimness, best.x, method="Nelder-Mead", options=dict(xatol=1e-3, fatol=1e-10))
    left = np.zeros_like(path)
    left[on] = p - best.x @ basis
    return -best.fun, left


def radial_mtf(lit, left):
    wave = Wavefront.from_amp_and_phase(lit, left, WAVELENGTH_NM / 1e3, 2.0 / SAMPLES)
    focus = wave.focus(1.0, Q=2)
    mtf = mtf_from_psf(focus.intensity, focus.dx).data
    middle = np.array(mtf.shape) // 2
    angle = np.linspace(0, 2 * np.pi, 720, endpoint=False)
    # At zero lag the autocorrelation of grey edges falls short of the area.
    short = (lit ** 2).sum() / lit.sum()
    # With Q = 2 the cutoff is a whole SAMPLES pixels from the middle.
    return [short * map_coordinates(mtf, [middle[0] + f * SAMPLES * np.sin(angle),
                                          middle[1] + f * SAMPLES * np.cos(angle)], order=3).mean() for f in FREQUENCIES]


def core(lit, left):
    """Share of the transmitted light on each point of the image's core."""
    unit_arcsec = np.degrees(WAVELENGTH_NM * 1e-9 / 1.0) * 3600
    points = int(CORE * PER_UNIT)
    system = poppy.OpticalSystem(pupil_diameter=1.0 * u.m)
    system.add_pupil(poppy.ArrayOpticalElement(transmission=lit, opd=left * 1e-9, pixelscale=1.0 / SAMPLES * u.m / u.pixel))
    system.add_detector(pixelscale=unit_arcsec / PER_UNIT, fov_pixels=points, oversample=1)
    image = system.calc_psf(wavelength=WAVELENGTH_NM * 1e-9)[0].data
    return image * (lit ** 2).sum() / lit.sum()


def energy_and_width(image):
    points = image.shape[0]
    middle = (points - 1) / 2
    # Polar integrals of the interpolated image: exact to 1e-5 at this spacing.
    radius, weight = np.polynomial.legendre.leggauss(40)
    radius, weight = (radius + 1) / 2 * AIRY, weight / 2 * AIRY
    angle = np.linspace(0, 2 * np.pi, 180, endpoint=False)

    def mean(r):
        return map_coordinates(image, [middle + r * PER_UNIT * np.sin(angle), middle + r * PER_UNIT * np.cos(angle)], order=5).mean()

    energy = sum(w * 2 * np.pi * r * mean(r) for r, w in zip(radius, weight)) * PER_UNIT ** 2
    half = mean(0.0) / 2
    first = next(r for r in np.arange(0.1, 2.5, 0.05) if mean(r) < half)
    return energy, 2 * brentq(lambda r: mean(r) - half, first - 0.05, first)


def main():
    at = (2 * np.arange(SAMPLES) + 1) / SAMPLES - 1
    x, y = np.meshgrid(at, at)
    rho, theta = cart_to_polar(x, y)
    with open(HERE / "psf.tsv", "w") as out:
        out.write("# What:    star images at the tilt and focus of the highest peak, 550 nm: Strehl ratio, share of the light within\n"
                  "#          1.21967 wavelength times focal ratio, full width at half maximum in that unit, MTF mean over azimuth\n"
                  "#          at 0.05, 0.10 .. 0.95 of the cutoff\n"
                  "# Source:  prysm 0.21.1, poppy 1.1.2, numpy 2.4.6, scipy 1.17.1; tests/reference/make_psf.py\n"
                  "# Licence: MIT, computed here\n# Checked by: tests/it/wave.rs\n")
        out.write("name\tobstruction\tvane\tterms (n m nm; OSA/ANSI)\tprofile (rho nm)\tstrehl\tencircled\tfwhm\tmtf\n")
        for name, e, vane, terms, profile in CASES:
            lit = pupil(e, vane)
            strehl, left = at_best_focus(lit, path_nm(terms, profile, np.minimum(rho, 1.0), theta), x, y, rho)
            energy, width = energy_and_width(core(lit, left))
            t = ";".join(f"{n} {m} {nm}" for (n, m), nm in terms.items())
            q = ";".join(f"{r} {nm:.6g}" for r, nm in profile)
            mtf = " ".join(f"{m:.5f}" for m in radial_mtf(lit, left))
            out.write(f"{name}\t{e}\t{vane}\t{t}\t{q}\t{strehl:.5f}\t{energy:.5f}\t{width:.5f}\t{mtf}\n")
            out.flush()


main()
