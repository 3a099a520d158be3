"""Write tests/reference/bands/*.jpg and bands.tsv: photographs of Ronchi bands, simulated.

    pip install numpy==2.4.6 scipy==1.17.1 pillow==12.0.0
    python tests/reference/make_bands.py

Light is carried from the mirror to the grating by a Fourier transform, cut by lines with edges, and carried back by another: no
orders are picked, and nothing of the program that reads the pictures is used. Paths from lamp to mirror to grating are lengths
between points. The lamp is a slit beside the grating, or shines through the grating's own lines; it is summed point by point.
Then come air, a camera held aslant, its blur, noise and tones, and JPEG. No real photograph is among them.

    python tests/reference/make_bands.py draw 200 FOLDER     # so many at random, for a measurement that is not kept
"""

import json
import pathlib
import sys

import numpy as np
from PIL import Image
from scipy import ndimage

HERE = pathlib.Path(__file__).parent
WAVE_NM = 550.0
COLOUR_NM = 540.0  # A phone's green under a white lamp.
N = 2048


def sagitta(r, radius, conic):
    return r**2 / (radius + np.sqrt(radius**2 - (1 + conic) * r**2))


def glass_nm(rho, mirror):
    """Height of the glass over its conic."""
    nm = np.zeros_like(rho)
    if mirror["ring"]:
        height, at, width = mirror["ring"]
        nm += height * np.exp(-(((rho - at) / width) ** 2))
    if mirror["edge"]:
        drop, begins = mirror["edge"]
        nm -= drop * np.clip((rho - begins) / (1 - begins), 0, None) ** 2
    return nm


def path_mm(x, y, mirror, offset, lamp, beside):
    """From the lamp by a point of the glass to the middle of the grating's plane."""
    radius = mirror["radius_mm"]
    r = np.hypot(x, y)
    rho = r / (mirror["diameter_mm"] / 2)
    z = sagitta(r, radius, mirror["conic"]) + glass_nm(rho, mirror) * 1e-6
    plane = radius + offset
    source = radius if lamp == "fixed" else plane
    there = np.sqrt(x**2 + (y - beside) ** 2 + (source - z) ** 2)
    back = np.sqrt(x**2 + (y + beside) ** 2 + (plane - z) ** 2)
    return there + back


def bands(mirror, test):
    """Light on the mirror as seen through the grating, on a square of 2.4 radii; x across the lines."""
    rim = mirror["diameter_mm"] / 2
    span = 2.4 * 2 * rim
    axis = (np.arange(N) - N // 2) * span / N
    x, y = np.meshgrid(axis, axis)
    away = mirror["radius_mm"] + test["offset_mm"]
    k = 2 * np.pi / (COLOUR_NM * 1e-6)
    path = path_mm(x, y, mirror, test["offset_mm"], test["lamp"], test["beside_mm"])
    path -= path[N // 2, N // 2]
    inside = np.hypot(x, y) <= rim
    tilt_x, tilt_y = (np.sum(path * a * inside) / np.sum(a * a * inside) for a in (x, y))
    path = path - tilt_x * x - tilt_y * y
    u, v = x / rim, y / rim
    modes = [u**2 - v**2, 2 * u * v, (3 * (u**2 + v**2) - 2) * u, (3 * (u**2 + v**2) - 2) * v, u**3 - 3 * u * v**2]
    path = path + 1e-6 * sum(a * m for a, m in zip(test["air_nm"], modes))
    open_ = ndimage.zoom(inside.astype(float), 1)
    field = np.fft.fft2(np.fft.ifftshift(open_ * np.exp(1j * k * path)))
    # Where each frequency crosses the plane of the grating.
    place = np.fft.fftfreq(N, span / N) * COLOUR_NM * 1e-6 * away
    pitch = test["pitch_mm"]
    if test["lamp"] == "fixed":
        sources = (np.arange(9) - 4) / 9 * test["slit_mm"]
    else:
        sources = (np.arange(12) - 5.5) / 12 * 0.5 * pitch
    light = np.zeros((N, N))
    step = place[1] - place[0]
    for source in sources:
        # Share of each cell that lines leave open: edges between samples count by their part.
        cells = (place - test["x0_mm"] - source)[:, None] + (np.arange(8) - 3.5)[None, :] * step / 8
        lines = (np.abs(cells / pitch - np.round(cells / pitch)) < 0.25).mean(axis=1)
        light += np.abs(np.fft.fftshift(np.fft.ifft2(field * lines[None, :]))) ** 2
    return light / len(sources), span


def photographed(mirror, test, camera, rng):
    light, span = bands(mirror, test)
    size = camera["size_px"]
    rim_px = camera["rim_px"]
    row, column = np.mgrid[0:size, 0:size].astype(float)
    right, down = column - camera["centre_px"][0], row - camera["centre_px"][1]
    turn, slant, along = camera["turn_rad"], camera["slant"], camera["slant_rad"]
    # An ellipse: longer by `slant` along one direction.
    cos, sin = np.cos(along), np.sin(along)
    major, minor = (right * cos + down * sin) / (1 + slant), -right * sin + down * cos
    right, down = major * cos - minor * sin, major * sin + minor * cos
    across = (right * np.cos(turn) + down * np.sin(turn)) / rim_px
    along_ = (-right * np.sin(turn) + down * np.cos(turn)) / rim_px
    # A camera sees tangents: places on the glass lie a little farther in than on the picture of a flat disc.
    rim = mirror["diameter_mm"] / 2
    bent = 1 - ((across**2 + along_**2) - 1) * rim**2 / (2 * mirror["radius_mm"] ** 2)
    to_cell = lambda at: at * bent * rim / span * N + N // 2
    picture = ndimage.map_coordinates(light, [to_cell(along_), to_cell(across)], order=1)
    picture = ndimage.gaussian_filter(picture, camera["blur_px"])
    picture = 0.8 * picture / np.percentile(picture, 99.5) + 0.01
    picture = picture * camera["gain"] + rng.normal(0, 0.004, picture.shape) * np.sqrt(0.2 + picture)
    picture = np.clip(picture, 0, 1)
    coded = np.where(picture <= 0.0031308, 12.92 * picture, 1.055 * np.maximum(picture, 1e-9) ** (1 / 2.4) - 0.055)
    return Image.fromarray((255 * coded + 0.5).astype(np.uint8))


def wave(mirror):
    """Of the star's wavefront at best focus: rms nm and a radial table, area-weighted."""
    radius, rim = mirror["radius_mm"], mirror["diameter_mm"] / 2
    area = (np.arange(4000) + 0.5) / 4000
    rho = np.sqrt(area)
    r = rho * rim
    depth = sagitta(r, radius, mirror["conic"]) - r**2 / (2 * radius)
    nm = -2 * (depth * 1e6 + glass_nm(rho, mirror)) * -1
    nm = 2 * -(depth * 1e6 + glass_nm(rho, mirror))
    fit = np.polynomial.polynomial.polyfit(area, nm, 1)
    nm = nm - fit[0] - fit[1] * area
    return float(np.sqrt(np.mean(nm**2)))


def drawn(rng):
    diameter = float(rng.choice([100, 114, 130, 150, 200, 250, 300]))
    ratio = rng.uniform(4 if diameter >= 200 else 5, 10 if diameter <= 150 else 7)
    radius = 2 * diameter * ratio
    kind = rng.choice(["paraboloid", "sphere", "conic", "ring", "edge"])
    mirror = {"diameter_mm": diameter, "radius_mm": radius, "conic": -1.0, "ring": None, "edge": None}
    if kind == "sphere":
        mirror["conic"] = 0.0
    elif kind == "conic":
        mirror["conic"] = float(rng.uniform(-1.5, 0))
    elif kind == "ring":
        mirror["ring"] = [float(rng.choice([-40, -25, 25, 40])), float(rng.uniform(0.2, 0.8)), float(rng.uniform(0.08, 0.2))]
    elif kind == "edge":
        mirror["edge"] = [float(rng.uniform(40, 120)), float(rng.uniform(0.92, 0.97))]
    lines = float(rng.choice([4, 5, 8, 10]))
    pitch = 1 / lines
    lamp = str(rng.choice(["fixed", "through the grating"]))
    n_bands = rng.uniform(4, 9)
    offset = n_bands * pitch * radius / diameter
    limit = 0.6 * pitch**2 / (2 * COLOUR_NM * 1e-6)
    offset = min(offset, limit)
    if lamp != "fixed":
        offset /= 2
    sign = -1 if rng.random() < 0.75 or offset < 2 * (diameter / 2) ** 2 / radius else 1
    true_pitch = pitch * (1 + rng.normal(0, 0.003) / 1.645)
    test = {
        "offset_mm": sign * offset,
        "lamp": lamp,
        "pitch_mm": true_pitch,
        "slit_mm": float(rng.uniform(0.1, 0.4) * pitch),
        "beside_mm": float(rng.uniform(0, 8)),
        "x0_mm": float(rng.uniform(0, pitch)),
        "air_nm": [float(rng.normal(0, 3)) for _ in range(5)],
    }
    return mirror, test, lines


def camera_of(rng, rim_px):
    size = int(2.7 * rim_px)
    return {
        "size_px": size,
        "rim_px": rim_px,
        "centre_px": [size / 2 + float(rng.uniform(-0.1, 0.1) * rim_px), size / 2 + float(rng.uniform(-0.1, 0.1) * rim_px)],
        "turn_rad": float(np.radians(rng.uniform(-6, 6))),
        "slant": float(rng.uniform(0, 0.02)),
        "slant_rad": float(rng.uniform(0, np.pi)),
        "blur_px": float(rng.uniform(1.0, 1.8)),
        "gain": float(rng.uniform(0.8, 1.0)),
    }


def stated(mirror, test, lines, rng):
    return {
        "diameter_mm": mirror["diameter_mm"],
        "radius_mm": round(mirror["radius_mm"] * (1 + rng.normal(0, 0.0015) / 1.645), 1),
        "lines_per_mm": lines,
        "offset_mm": round(test["offset_mm"] + float(rng.uniform(-0.05, 0.05) * abs(test["offset_mm"])), 1),
        "lamp": test["lamp"],
    }


KEPT = [
    ("paraboloid", 200, 2000, -1.0, None, None, 4, -11.0, "fixed"),
    ("sphere", 114, 1824, 0.0, None, None, 4, -8.0, "through the grating"),
    ("ring", 200, 2400, -1.0, [40, 0.7, 0.1], None, 8, -6.5, "fixed"),
    ("outside", 150, 2400, -0.6, None, None, 4, 16.0, "fixed"),
]

HEAD = """\
# What:     simulated photographs of Ronchi bands and the mirrors behind them: stated diameter and radius of curvature (mm), lines a mm,
#           offset (mm, inside negative) and lamp; RMS of the star's wavefront at best focus, nm (area-weighted); rim in the picture, px
# Source:   tests/reference/make_bands.py: two Fourier transforms and lines with edges
# Obtained: python tests/reference/make_bands.py
# Licence:  MIT like the rest of the project
# Checked by: tests/it/bands_photo.rs
"""


def keep():
    folder = HERE / "bands"
    folder.mkdir(exist_ok=True)
    lines_out = ["file\tdiameter_mm\tradius_mm\tlines_per_mm\toffset_mm\tlamp\twave_rms_nm\trim_px"]
    for seed, (name, diameter, radius, conic, ring, edge, lines, offset, lamp) in enumerate(KEPT):
        rng = np.random.default_rng(1400 + seed)
        mirror = {"diameter_mm": diameter, "radius_mm": radius, "conic": conic, "ring": ring, "edge": edge}
        test = {
            "offset_mm": offset,
            "lamp": lamp,
            "pitch_mm": 1 / lines,
            "slit_mm": 0.25 / lines,
            "beside_mm": 4.0,
            "x0_mm": float(rng.uniform(0, 1 / lines)),
            "air_nm": [float(rng.normal(0, 2)) for _ in range(5)],
        }
        camera = camera_of(rng, 210)
        photographed(mirror, test, camera, rng).save(folder / f"{name}.jpg", quality=88)
        lines_out.append(f"{name}.jpg\t{diameter}\t{radius}\t{lines}\t{offset}\t{lamp}\t{wave(mirror):.2f}\t{camera['rim_px'] * (1 + camera['slant'] / 2):.1f}")
    (HERE / "bands.tsv").write_text(HEAD + "\n".join(lines_out) + "\n")


def draw(count, folder):
    folder = pathlib.Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    truths = []
    for number in range(count):
        rng = np.random.default_rng(50_000 + number)
        mirror, test, lines = drawn(rng)
        camera = camera_of(rng, int(rng.uniform(300, 420)))
        photographed(mirror, test, camera, rng).save(folder / f"{number}.jpg", quality=int(rng.uniform(80, 95)))
        truths.append({"file": f"{number}.jpg", "stated": stated(mirror, test, lines, rng), "mirror": mirror, "test": test, "camera": camera, "wave_rms_nm": wave(mirror)})
    (folder / "truths.json").write_text(json.dumps(truths, indent=1))


if __name__ == "__main__":
    if len(sys.argv) == 4 and sys.argv[1] == "draw":
        draw(int(sys.argv[2]), sys.argv[3])
    else:
        keep()
