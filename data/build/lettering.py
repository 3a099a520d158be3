"""Write data/lettering.bin and data/lettering_bold.bin: the European letters of DejaVu Sans, that matplotlib carries.

    python -m pip install -r data/build/requirements.txt
    python data/build/lettering.py
"""

import io
import pathlib

import matplotlib
from fontTools import subset
from fontTools.ttLib import TTFont

DATA = pathlib.Path(__file__).resolve().parents[1]

FONTS = pathlib.Path(matplotlib.get_data_path()) / "fonts" / "ttf"

# Latin with its accents, Greek, Cyrillic, and the dashes, quotes and primes of running text.
LETTERS = [*range(0x20, 0x7F), *range(0xA0, 0x180), *range(0x386, 0x3CF), *range(0x400, 0x460), *range(0x2010, 0x2027), 0x2032, 0x2033, 0x20AC, 0x2212]

HEAD = """\
# What:       letters of pictures in dots, {face}: Latin, Greek and Cyrillic, outlines and widths alone.
# Source:     DejaVu Sans, {version}, as carried by the Python package matplotlib 3.11.2.
# Obtained:   cut out by data/build/lettering.py with fonttools 4.68.0 (packages pinned in data/build/requirements.txt).
# Licence:    Bitstream Vera and Arev, free to use, change and redistribute; changes by DejaVu are in the public domain. The whole
#             notice is in the font's own name table.
# Format:     this head, an empty line, then a TrueType font.
# Checked by: the tests of src/show/picture/lettering.rs.
"""


def main():
    for source, out in [("DejaVuSans.ttf", "lettering.bin"), ("DejaVuSans-Bold.ttf", "lettering_bold.bin")]:
        font = TTFont(FONTS / source, recalcTimestamp=False)
        # Outlines, widths and the table of letters: no hints, no kerning, no ligatures; the notices stay.
        options = subset.Options(
            hinting=False,
            notdef_outline=True,
            layout_features=[],
            name_IDs=[0, 1, 2, 5, 13, 14],
            drop_tables=["GDEF", "GPOS", "GSUB", "kern", "FFTM", "gasp", "MATH"],
        )
        cut = subset.Subsetter(options)
        cut.populate(unicodes=LETTERS)
        cut.subset(font)
        cut_out = io.BytesIO()
        font.save(cut_out)
        names = font["name"]
        head = HEAD.format(face=names.getDebugName(2).lower(), version=names.getDebugName(5).lower())
        (DATA / out).write_bytes(head.encode("ascii") + b"\n" + cut_out.getvalue())


if __name__ == "__main__":
    main()
