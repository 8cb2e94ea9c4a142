"""Letters to be read across the room: drawn in half blocks, five dots high, as large as they fit."""

from __future__ import annotations

from itertools import zip_longest
from unicodedata import normalize

LETTER_HEIGHT = 5
"""The height of a letter in dots; the next line is one dot below."""

_DRAWN = {
    "A": ".#. #.# ### #.# #.#", "B": "##. #.# ##. #.# ##.", "C": ".## #.. #.. #.. .##",
    "D": "##. #.# #.# #.# ##.", "E": "### #.. ##. #.. ###", "F": "### #.. ##. #.. #..",
    "G": ".### #... #.## #..# .###", "H": "#.# #.# ### #.# #.#", "I": "# # # # #",
    "J": "..# ..# ..# #.# .#.", "K": "#.# #.# ##. #.# #.#", "L": "#.. #.. #.. #.. ###",
    "M": "#...# ##.## #.#.# #...# #...#", "N": "#..# ##.# #.## #..# #..#", "O": ".##. #..# #..# #..# .##.",
    "P": "##. #.# ##. #.. #..", "Q": ".##. #..# #..# #.## .###", "R": "##. #.# ##. #.# #.#",
    "S": ".## #.. .#. ..# ##.", "T": "### .#. .#. .#. .#.", "U": "#.# #.# #.# #.# ###",
    "V": "#.# #.# #.# #.# .#.", "W": "#...# #...# #.#.# ##.## #...#", "X": "#.# #.# .#. #.# #.#",
    "Y": "#.# #.# .#. .#. .#.", "Z": "### ..# .#. #.. ###",
    "0": "### #.# #.# #.# ###", "1": ".# ## .# .# .#", "2": "##. ..# .#. #.. ###", "3": "##. ..# .#. ..# ##.",
    "4": "#.# #.# ### ..# ..#", "5": "### #.. ##. ..# ##.", "6": ".## #.. ### #.# ###", "7": "### ..# ..# .#. .#.",
    "8": "### #.# ### #.# ###", "9": "### #.# ### ..# ##.",
    " ": ". . . . .", ".": ". . . . #", ",": ".. .. .. .# #.", ":": ". # . # .", ";": ".. .# .. .# #.",
    "-": ".. .. ## .. ..", "+": "... .#. ### .#. ...", "/": "..# ..# .#. #.. #..", "'": "# # . . .", "!": "# # # . #",
    "?": "##. ..# .#. ... .#.", "(": ".# #. #. #. .#", ")": "#. .# .# .# #.", "&": ".#.. #.#. .#.. #.#. .#.#",
    "%": "#.# ..# .#. #.. #.#", '"': "#.# #.# ... ... ...",
}  # fmt: skip
_BLOCKS = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}


def large(text: str, cells: int, rows: int, most: int) -> list[str] | None:
    """The text in the largest letters that fit, broken between words; None if not even the smallest fit, or a letter
    cannot be drawn. most: the largest scale of a dot."""
    said = " ".join(normalize("NFKD", text).encode("ascii", "ignore").decode().upper().split())
    if (
        not said
        or len(said) < len(text.split())
        or any(letter not in _DRAWN for letter in said)
        or _lost(text)
    ):
        return None
    for scale in range(most, 0, -1):
        lines = _broken(said, cells // scale)
        if lines is not None and len(lines) * _rows(scale) <= rows:
            return [row for line in lines for row in _drawn(line, scale)]
    return None


def _lost(text: str) -> bool:
    """True if the text has signs or letters of another script, which would be lost."""
    return any(ord(c) > 127 and not normalize("NFKD", c)[0].isascii() for c in text)


def _rows(scale: int) -> int:
    return -(-(LETTER_HEIGHT + 1) * scale // 2)


def _width(text: str) -> int:
    return sum(_DRAWN[letter].index(" ", 1) + 1 for letter in text) - 1


def _broken(text: str, dots: int) -> list[str] | None:
    """The text in lines of whole words; None if a word is too long."""
    lines: list[str] = []
    for word in text.split():
        if _width(word) > dots:
            return None
        if lines and _width(f"{lines[-1]} {word}") <= dots:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def _drawn(line: str, scale: int) -> list[str]:
    dots = [
        "".join(dot * scale for dot in ".".join(_DRAWN[letter].split()[row] for letter in line))
        for row in range(LETTER_HEIGHT)
    ]
    tall = [row for row in [*dots, "." * len(dots[0])] for _ in range(scale)]
    pairs = zip_longest(tall[::2], tall[1::2], fillvalue="." * len(tall[0]))
    return [
        "".join(_BLOCKS[a == "#", b == "#"] for a, b in zip(*pair, strict=True)).rstrip() for pair in pairs
    ]
