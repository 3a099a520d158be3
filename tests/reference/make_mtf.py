"""Makes mtf.tsv and figures.tsv: annular MTF and figures of wavefronts by another road.

prysm builds pupils and Zernike polynomials on a square grid and makes images by FFT; scipy finds
the tilt and focus of the highest peak. Nothing here shares a formula with src/optics.

    pip install prysm==0.21.1 numpy==2.4.6 scipy==1.17.1
    python make_mtf.py            writes beside itself; takes about a minute
"""

from pathlib import Path

import numpy as np
from prysm.coordinates import cart_to_polar, make_xy_grid
from prysm.otf import mtf_from_psf
from prysm.polynomials import zernike_nm
from prysm.propagation import Wavefront
from scipy.ndimage import map_coordinates
from scipy.optimize import minimize

HERE = Path(__file__).parent
SAMPLES = 1024
SUPER = 8
WAVELENGTH_NM = 550.0
FREQUENCIES = np.arange(1, 20) * 0.05
OBSTRUCTIONS = [0.0, 0.1, 0.2, 0.25, 0.3, 0.35]

# name, obstruction, {(n, m): nm}, [(rho, nm), ...] on the wavefront
CASES = [
    ("spherical", 0.0, {(4, 0): 41.0}, []),
    ("spherical obstructed", 0.3, {(4, 0): 41.0}, []),
    ("mixed", 0.2, {(2, 2): -30.0, (2, -2): 18.0, (3, 1): 25.0, (4, 0): -28.0, (2, 0): 60.0, (1, 1): 90.0}, []),
    ("coma obstructed", 0.35, {(3, -1): 45.0}, []),
    ("high order", 0.25, {(6, 0): -20.0, (8, 0): 12.0, (6, 4): 15.0}, []),
    ("ring", 0.2, {}, [(0.0, 0.0), (0.6, 0.0), (0.7, 140.0), (0.8, 0.0), (1.0, 0.0)]),
    ("turned edge", 0.0, {}, [(0.0, 0.0), (0.94, 0.0), (1.0, -350.0)]),
    ("one wave", 0.2, {(4, 0): 164.0, (2, 2): 20.0}, []),
]


def annulus(obstruction):
    """Grey-edged pupil: the lit share of each pixel."""
    n = SAMPLES * SUPER
    edge = (np.arange(n) - (n - 1) / 2) / (n / 2)
    lit = np.zeros((SAMPLES, SAMPLES))
    for row in range(SAMPLES):
        y = edge[row * SUPER:(row + 1) * SUPER, None]
        r2 = edge[None, :] ** 2 + y ** 2
        inside = (r2 <= 1) & (r2 >= obstruction ** 2)
        lit[row] = inside.reshape(SUPER, SAMPLES, SUPER).mean(axis=(0, 2))
    return lit


def radial_mtf(obstruction):
    pupil = Wavefront.from_amp_and_phase(annulus(obstruction), None, WAVELENGTH_NM / 1e3, 2.0 / SAMPLES)
    focus = pupil.focus(1.0, Q=2)
    mtf = mtf_from_psf(focus.intensity, focus.dx).data
    middle = np.array(mtf.shape) // 2
    angle = np.linspace(0, 2 * np.pi, 720, endpoint=False)
    # With Q = 2 the cutoff is a whole SAMPLES pixels from the middle.
    return [map_coordinates(mtf, [middle[0] + f * SAMPLES * np.sin(angle), middle[1] + f * SAMPLES * np.cos(angle)], order=3).mean()
            for f in FREQUENCIES]


def path_nm(terms, profile, rho, theta):
    path = np.zeros_like(rho)
    for (n, m), nm in terms.items():
        path += nm * zernike_nm(n, m, rho, theta, norm=True)
    if profile:
        path += np.interp(rho, *zip(*profile))
    return path


def figures(obstruction, terms, profile):
    x, y = make_xy_grid(SAMPLES, diameter=2)
    shift = 1.0 / SAMPLES  # to pixel centres
    x, y = x + shift, y + shift
    rho, theta = cart_to_polar(x, y)
    weight = annulus(obstruction)
    path = path_nm(terms, profile, rho, theta)
    lit = weight > 0
    w, p = weight[lit] / weight[lit].sum(), path[lit]
    basis = np.stack([np.ones_like(p), x[lit], y[lit], rho[lit] ** 2])
    fit = np.linalg.solve((basis * w) @ basis.T, (basis * w) @ p)
    left = p - fit @ basis
    rms = np.sqrt((w * left ** 2).sum())
    # Extremes on a polar grid, to the rim itself.
    r, t = np.meshgrid(np.linspace(obstruction, 1, 1501), np.linspace(0, 2 * np.pi, 1440, endpoint=False))
    ends = path_nm(terms, profile, r, t) - (fit[0] + fit[1] * r * np.cos(t) + fit[2] * r * np.sin(t) + fit[3] * r ** 2)
    k = 2 * np.pi / WAVELENGTH_NM

    def dimness(c):
        return -abs((w * np.exp(1j * k * (left - c @ basis[1:]))).sum()) ** 2

    starts = [np.array([0, 0, focus]) for focus in np.arange(-600, 601, 100.0)]
    best = min((minimize(dimness, s, method="Nelder-Mead", options=dict(xatol=1e-3, fatol=1e-9)) for s in
                sorted(starts, key=dimness)[:2]), key=lambda r: r.fun)
    return rms, np.ptp(ends), -best.fun


def head(what):
    return (f"# What:    {what}\n"
            "# Source:  prysm 0.21.1, numpy 2.4.6, scipy 1.17.1; tests/reference/make_mtf.py\n"
            "# Licence: MIT, computed here\n# Checked by: tests/it/optics\n")


def main():
    with open(HERE / "mtf.tsv", "w") as out:
        out.write(head("MTF of a perfect annular pupil, mean over azimuth; frequency as a share of the cutoff"))
        out.write("obstruction\tfrequency\tmtf\n")
        for e in OBSTRUCTIONS:
            for f, m in zip(FREQUENCIES, radial_mtf(e)):
                out.write(f"{e}\t{f:.2f}\t{m:.5f}\n")
    with open(HERE / "figures.tsv", "w") as out:
        out.write(head("figures of wavefronts over an annulus at 550 nm: RMS and P-V at least-squares focus, highest Strehl"))
        out.write("name\tobstruction\tterms (n m nm; OSA/ANSI)\tprofile (rho nm)\trms_nm\tpv_nm\tstrehl\n")
        for name, e, terms, profile in CASES:
            rms, pv, strehl = figures(e, terms, profile)
            t = ";".join(f"{n} {m} {nm}" for (n, m), nm in terms.items())
            q = ";".join(f"{r} {nm}" for r, nm in profile)
            out.write(f"{name}\t{e}\t{t}\t{q}\t{rms:.3f}\t{pv:.2f}\t{strehl:.5f}\n")


main()
