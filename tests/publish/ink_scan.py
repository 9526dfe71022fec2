"""What is wrong with the ink of a finished PDF: text off its page, cut off, shortened, near a cut, on other text,
across an edge, on a rule, in lines that are too near.

Everything is seen as pdfium sees it: the box of each letter as it is drawn, and the box of each path. A path that is no
rectangle is taken for its box, so that a letter may not straddle a drawing either.
"""

from __future__ import annotations

import ctypes
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pypdfium2 as pdfium
from numpy.typing import NDArray
from pdf_pages import type_size
from pypdfium2 import raw

MM = 72 / 25.4

#: Nothing that matters is nearer to a cut: an office printer leaves as much white, a cutter is as much off (common
#: practice, no source).
FROM_TRIM = 4.0 * MM

#: A label has less to lose: printers shift by a millimetre or two.
FROM_TRIM_OF_LABEL = 1.8 * MM

#: How deep one box may reach into another: letters have round corners, and f and j reach over their neighbours.
SLACK = 0.3 * MM

#: Crop marks are lines no longer and no wider than this, as pdfium sees them: with their stroke twice around.
CROP_MARK = (5.5 * MM, 0.9)

#: A rule is no thicker and no shorter, as pdfium sees it: with its stroke twice around.
RULE = (2.5, 8 * MM)

#: From one line to the next, in sizes of the type. NASA CR-177605, recommendation 9, asks for white between lines of at
#: least 25 % of the type's overall size. That of our typeface is 0.87: from 0.668 above the base line to 0.203 below.
LINE_TO_LINE = (0.668 + 0.203) * 1.25

#: Behind an ellipsis they tell that it is quoted: ``“missing …”`` is what a hand writes.
_CLOSING = ("”", "»", "“")

Boxes = NDArray[np.float64]
"""Left, bottom, right, top of each letter or path, in points from the lower left corner of the page."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault on a page counted from 1, with the words around it."""

    page: int
    kind: str
    words: str


def faults(pdf: bytes, *, from_cut: float = FROM_TRIM) -> list[Fault]:
    """All faults of a document, each once for the words that have it. Words may be so near to where cards are cut."""
    found: list[Fault] = []
    for number, page in enumerate(pdfium.PdfDocument(pdf), start=1):
        seen = _Seen(page)
        each = (
            *_near_a_cut(seen, from_cut),
            *_on_other_text(seen),
            *_across_an_edge(seen),
            *_on_a_rule(seen),
            *_in_lines_too_near(seen),
            *_not_whole(seen),
        )
        found += (Fault(number, kind, words) for kind, words in dict.fromkeys(each))
    return found


class _Seen:
    """A page as it is seen: its letters, each with the run of text that it belongs to, and the boxes of its paths."""

    def __init__(self, page: pdfium.PdfPage) -> None:
        self.width, self.height = page.get_size()
        text = page.get_textpage()
        signs = [chr(raw.FPDFText_GetUnicode(text, n)) for n in range(text.count_chars())]
        drawn = [n for n, sign in enumerate(signs) if sign.isprintable() and not sign.isspace()]
        objects = [raw.FPDFText_GetTextObject(text, n) for n in drawn]
        whole = np.array([text.get_charbox(n) for n in drawn]).reshape(-1, 4)
        letters = _clipped(whole, [_clip(of) for of in objects])
        shown = _shown(letters)
        self.is_clipped = np.any(np.abs(whole - letters) > SLACK, axis=1)[shown]
        self.signs = [signs[n] for n, is_shown in zip(drawn, shown, strict=True) if is_shown]
        self.letters = letters[shown]
        self.sizes = np.array([_upright_size(text, n) for n in drawn])[shown]
        self.runs = np.array([ctypes.cast(of, ctypes.c_void_p).value for of in objects])[shown]
        # Joined letters (Arabic) reach into each other, each with a run of its own: those of one line count as one run.
        origins = np.array([_origin(text, n) for n in drawn]).reshape(-1, 2)
        self.base_lines = origins[:, 1][shown]
        is_joined = np.array([unicodedata.bidirectional(signs[n]) == "AL" for n in drawn], dtype=bool)
        self.lines = np.where(is_joined[:, None], origins, np.nan)[shown]
        things = list(page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]))
        paths = np.array([path.get_bounds() for path in things]).reshape(-1, 4)
        paths = _clipped(paths, [_clip(path.raw) for path in things])
        self.paths = paths[_shown(paths)]
        # What a picture is drawn of has one number in the document's tags; so has the text in it.
        self.drawn_with = np.array([_number(of) for of in objects])[shown]
        self.path_numbers = np.array([_number(path.raw) for path in things])[_shown(paths)]

    def on_one_line(self, one: int, other: int) -> bool:
        """Whether two joined letters stand on one line, lying or upright."""
        return bool(np.any(np.abs(self.lines[one] - self.lines[other]) < 0.1))

    def words(self, at: int) -> str:
        """The letters of the run that a letter belongs to."""
        return "".join(sign for sign, run in zip(self.signs, self.runs, strict=True) if run == self.runs[at])[:60]


def _upright_size(text: pdfium.PdfTextPage, n: int) -> float:
    """The size of a letter's type as it is drawn; 0 of one that is turned."""
    by = raw.FS_MATRIX()
    raw.FPDFText_GetMatrix(text, n, by)
    return type_size(text, n) if by.b == by.c == 0 else 0.0


def _origin(text: pdfium.PdfTextPage, n: int) -> tuple[float, float]:
    """Where a letter stands on its line."""
    x, y = ctypes.c_double(), ctypes.c_double()
    raw.FPDFText_GetCharOrigin(text, n, x, y)
    return x.value, y.value


def _number(of: raw.FPDF_PAGEOBJECT) -> int:
    """The number of marked content that a thing on a page belongs to; -1 for what is decoration only."""
    number = ctypes.c_int()
    for n in range(raw.FPDFPageObj_CountMarks(of)):
        if raw.FPDFPageObjMark_GetParamIntValue(raw.FPDFPageObj_GetMark(of, n), b"MCID", number):
            return number.value
    return -1


def _clip(of: raw.FPDF_PAGEOBJECT) -> tuple[float, float, float, float]:
    """The box of all that is not clipped of a thing on a page."""
    box = [-np.inf, -np.inf, np.inf, np.inf]
    clip = raw.FPDFPageObj_GetClipPath(of)
    for path in range(max(0, raw.FPDFClipPath_CountPaths(clip)) if clip else 0):
        points = [_point(clip, path, n) for n in range(raw.FPDFClipPath_CountPathSegments(clip, path))]
        for axis in (0, 1):
            box[axis] = max(box[axis], min(point[axis] for point in points))
            box[axis + 2] = min(box[axis + 2], max(point[axis] for point in points))
    return box[0], box[1], box[2], box[3]


def _point(clip: raw.FPDF_CLIPPATH, path: int, n: int) -> tuple[float, float]:
    x, y = ctypes.c_float(), ctypes.c_float()
    raw.FPDFPathSegment_GetPoint(raw.FPDFClipPath_GetPathSegment(clip, path, n), x, y)
    return x.value, y.value


def _clipped(boxes: Boxes, clips: list[tuple[float, float, float, float]]) -> Boxes:
    inside = np.array(clips).reshape(-1, 4)
    return np.hstack([np.maximum(boxes[:, :2], inside[:, :2]), np.minimum(boxes[:, 2:], inside[:, 2:])])


def _shown(boxes: Boxes) -> NDArray[np.bool_]:
    shown: NDArray[np.bool_] = (boxes[:, 0] <= boxes[:, 2]) & (boxes[:, 1] <= boxes[:, 3])
    return shown


def _near_a_cut(seen: _Seen, from_cut: float) -> Iterator[tuple[str, str]]:
    """Letters off the page or too near to its edge, and those of cards too near to where they are cut."""
    left, bottom, right, top = seen.letters.T
    off = (left < 0) | (bottom < 0) | (right > seen.width) | (top > seen.height)
    near = (left < FROM_TRIM) | (bottom < FROM_TRIM)
    near |= (right > seen.width - FROM_TRIM) | (top > seen.height - FROM_TRIM)
    for at in np.flatnonzero(near):
        yield "off the page" if off[at] else "near the edge", seen.words(int(at))
    across, down = _cuts(seen)
    if len(across) < 2 or len(down) < 2:
        return
    on_cards = (right > across[0]) & (left < across[-1]) & (top > down[0]) & (bottom < down[-1])
    for at in np.flatnonzero(on_cards):
        if any(left[at] < x + from_cut and right[at] > x - from_cut for x in across) or any(
            bottom[at] < y + from_cut and top[at] > y - from_cut for y in down
        ):
            yield "near a cut", seen.words(int(at))


def _cuts(seen: _Seen) -> tuple[list[float], list[float]]:
    """Where crop marks say that cards are cut, from left to right and from the bottom up."""
    left, bottom, right, top = seen.paths.T
    long, thin = CROP_MARK
    short = (right - left < long) & (top - bottom < long)
    upright = short & (right - left < thin) & (top - bottom > 2 * MM)
    lying = short & (top - bottom < thin) & (right - left > 2 * MM)
    # A mark stands at both ends of its cut.
    both_x = _twice((left + right)[upright] / 2)
    both_y = _twice((bottom + top)[lying] / 2)
    return both_x, both_y


def _twice(places: Boxes) -> list[float]:
    rounded = np.round(places, 1)
    return [float(at) for at in np.unique(rounded) if np.sum(np.abs(rounded - at) < 0.15) >= 2]


def _on_other_text(seen: _Seen) -> Iterator[tuple[str, str]]:
    """Letters of one run that stand on those of another."""
    order = np.argsort(seen.letters[:, 0])
    boxes = seen.letters[order]
    widest = (boxes[:, 2] - boxes[:, 0]).max(initial=0.0)
    for here, box in enumerate(boxes):
        until = np.searchsorted(boxes[:, 0], box[2] - SLACK)
        others = boxes[here + 1 : until]
        if not len(others) or widest == 0:
            continue
        deep_x = np.minimum(box[2], others[:, 2]) - others[:, 0]
        deep_y = np.minimum(box[3], others[:, 3]) - np.maximum(box[1], others[:, 1])
        for other in np.flatnonzero((deep_x > SLACK) & (deep_y > SLACK)) + here + 1:
            if seen.runs[order[here]] != seen.runs[order[other]] and not seen.on_one_line(order[here], order[other]):
                yield "text on text", f"{seen.words(int(order[here]))} / {seen.words(int(order[other]))}"


def _across_an_edge(seen: _Seen) -> Iterator[tuple[str, str]]:
    """Letters that an edge of a path goes through."""
    for (left, bottom, right, top), picture in zip(seen.paths, seen.path_numbers, strict=True):
        x0, y0, x1, y1 = (seen.letters + np.array([SLACK, SLACK, -SLACK, -SLACK])).T
        beside = (np.minimum(right, x1) > np.maximum(left, x0)) | ((right - left < 1) & (x0 < left) & (right < x1))
        within = (np.minimum(top, y1) > np.maximum(bottom, y0)) | ((top - bottom < 1) & (y0 < bottom) & (top < y1))
        hit = ((x0 < left) & (left < x1) | (x0 < right) & (right < x1)) & within
        hit |= ((y0 < bottom) & (bottom < y1) | (y0 < top) & (top < y1)) & beside
        for at in np.flatnonzero(hit & (x0 < x1) & (y0 < y1) & ((seen.drawn_with != picture) | (picture < 0))):
            yield "across an edge", seen.words(int(at))


def _on_a_rule(seen: _Seen) -> Iterator[tuple[str, str]]:
    """Letters that a thin line touches."""
    rules = _is_rule(seen.paths)
    for (left, bottom, right, top), picture in zip(seen.paths[rules], seen.path_numbers[rules], strict=True):
        x0, y0, x1, y1 = seen.letters.T
        hit = (x0 < right) & (left < x1) & (y0 < top) & (bottom < y1)
        for at in np.flatnonzero(hit & ((seen.drawn_with != picture) | (picture < 0))):
            yield "on a rule", seen.words(int(at))


def _in_lines_too_near(seen: _Seen) -> Iterator[tuple[str, str]]:
    """Letters with others of the same size so closely below them that the eye can slip from line to line."""
    order = np.argsort(-seen.base_lines)
    left, _, right, _ = seen.letters[order].T
    lines, sizes = seen.base_lines[order], seen.sizes[order]
    rules = seen.paths[_is_rule(seen.paths)]
    for here, line in enumerate(lines):
        if sizes[here] == 0:
            continue
        first, last = np.searchsorted(-lines, [-line + 0.5 * sizes[here], -line + (LINE_TO_LINE - 0.01) * sizes[here]])
        below = slice(first, last)
        near = (left[below] < right[here]) & (right[below] > left[here])
        for other in np.flatnonzero(near & (np.abs(sizes[below] - sizes[here]) < 0.1)) + first:
            across = (rules[:, 0] < right[here]) & (rules[:, 2] > left[here])
            if np.any(across & (rules[:, 1] < line) & (rules[:, 3] > lines[other])):  # rows of a table
                continue
            yield "lines too near", f"{seen.words(int(order[here]))} / {seen.words(int(order[other]))}"


def _is_rule(paths: Boxes) -> NDArray[np.bool_]:
    """Which paths are straight lines, lying or upright: long, and as thin as a pen."""
    left, bottom, right, top = paths.T
    thin, long = np.minimum(right - left, top - bottom), np.maximum(right - left, top - bottom)
    rules: NDArray[np.bool_] = (thin < RULE[0]) & (long > RULE[1])
    return rules


def _not_whole(seen: _Seen) -> Iterator[tuple[str, str]]:
    """Words that a box cuts off, or that end in an ellipsis."""
    for clipped in np.flatnonzero(seen.is_clipped):
        yield "cut off", seen.words(int(clipped))
    for at, (sign, after) in enumerate(pairwise([*seen.signs, ""])):
        if sign == "…" and after not in _CLOSING:
            yield "shortened", seen.words(at)
