"""The job of benches/mirror.rs in numpy and scipy, to be run by hand beside it.

    pip install numpy==2.4.6 scipy==1.17.1
    python benches/mirror_reference.py && cargo bench --bench mirror

One pupil of 512 pixels, padded to 1024, in five colours: the field from amplitude and path error,
the image by FFT, the transfer function from the image by real FFT, and the mean of its modulus
over azimuth. Medians of many runs; one thread, as there. The FFT transforms the rows that are
not zero first and only then all columns, which is what scipy can do to save the same work; in
double precision as numpy has it, and in single precision, which is what the program's transforms use.
"""

import statistics
import time

import numpy as np
import scipy.fft

SAMPLES = 512
COLOURS_NM = [470.0, 510.0, 550.0, 590.0, 630.0]
RUNS = 15


def pupil():
    at = (2 * np.arange(SAMPLES) + 1) / SAMPLES - 1
    x, y = np.meshgrid(at, at)
    rho2 = x * x + y * y
    lit = ((0.04 <= rho2) & (rho2 <= 1)).astype(float)
    lit *= (np.abs(x) > 0.0067) & (np.abs(y) > 0.0067)
    path_nm = 60 * (6 * rho2**2 - 6 * rho2 + 1) + 40 * (3 * rho2 - 2) * x
    return lit, path_nm


def ring_numbers():
    """Lag from the middle, in pixels, of every value of the half plane that rfft2 returns."""
    along = np.minimum(np.arange(2 * SAMPLES), 2 * SAMPLES - np.arange(2 * SAMPLES))
    rings = np.rint(np.hypot(along[:, None], np.arange(SAMPLES + 1)[None, :])).astype(int)
    weights = np.where(np.arange(SAMPLES + 1) == 0, 1.0, 2.0) * np.ones((2 * SAMPLES, 1))
    return rings, weights


def image_padded_at_once(field):
    spectrum = scipy.fft.fft2(field, s=(2 * SAMPLES, 2 * SAMPLES))
    return spectrum.real**2 + spectrum.imag**2


def image_row_by_row(field):
    rows = scipy.fft.fft(field, n=2 * SAMPLES, axis=1)
    spectrum = scipy.fft.fft(rows, n=2 * SAMPLES, axis=0, overwrite_x=True)
    return spectrum.real**2 + spectrum.imag**2


def images_and_mtfs(image_of, precision, lit, path_nm, rings, weights):
    count = np.bincount(rings.ravel(), weights.ravel())[: SAMPLES + 1]
    for wavelength_nm in COLOURS_NM:
        field = lit * np.exp(2j * np.pi / wavelength_nm * path_nm)
        image = image_of(field.astype(precision))
        otf = scipy.fft.rfft2(image)
        modulus = np.abs(otf) * weights
        mtf = np.bincount(rings.ravel(), modulus.ravel())[: SAMPLES + 1] / count / modulus[0, 0]
    return image, mtf


def median_ms(job):
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        job()
        times.append((time.perf_counter() - start) * 1e3)
    return statistics.median(times), min(times)


def main():
    lit, path_nm = pupil()
    rings, weights = ring_numbers()
    for name, image_of, precision in [
        ("padded at once", image_padded_at_once, np.complex128),
        ("rows, then columns", image_row_by_row, np.complex128),
        ("rows, then columns, single precision", image_row_by_row, np.complex64),
    ]:
        middle, least = median_ms(lambda: images_and_mtfs(image_of, precision, lit, path_nm, rings, weights))
        print(f"images and MTFs in five colours, {name}: median {middle:.1f} ms, least {least:.1f} ms")


main()
