"""What the print doctor says."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from app.catalogue.load import catalogue
from app.model.printing import Correction, Printing
from app.paper.doctor_causes import Setting
from app.paper.doctor_reading import Reading
from app.units import Unit, format_exact, format_inches


@dataclass(frozen=True, slots=True)
class Told:
    """What there is to tell: see :class:`app.paper.doctor.Diagnosis`."""

    found: Reading
    printing: Printing
    cause: str
    settings: tuple[Setting, ...]
    correction: Correction | None
    error: float | None
    checked: bool
    unit: Unit


@dataclass(frozen=True, slots=True)
class Words:
    """Title, sentences, what to change, and what else it may be."""

    title: str
    text: str
    advice: str
    others: tuple[str, ...]


def told(case: Told) -> Words:
    """The words of a diagnosis."""
    by_setting = bool(case.settings) and case.cause == case.settings[0].id
    title, sentences, advice = _setting(case) if by_setting else _CAUSES[case.cause](case)
    return Words(title, " ".join(s for s in (*sentences, _error(case)) if s), advice, _others(case))


def say(mm: float, unit: Unit) -> str:
    """A small length: to 0.01 mm without needless zeros, or a fraction of an inch, or 0.001"."""
    return format_inches(mm, exactly=True) if unit is Unit.INCH else f"{format_exact(round(mm, 2))} mm"


def factors(correction: Correction) -> str:
    """A correction as it stands on the sheets: ``x 1.0000 y 0.9960``."""
    return f"x {correction.x:.4f} y {correction.y:.4f}"


Made = tuple[str, tuple[str, ...], str]


def _percents(case: Told) -> str:
    found = case.found
    return (
        f"The bars come out at {100 * found.x:.2f} % along the short side of the paper (x) and {100 * found.y:.2f} % "
        "along the long side (y)."
    )


def _setting(case: Told) -> Made:
    setting, most = case.settings[0], catalogue().rule("printer-correctable")
    off = max(abs(case.found.x - 1), abs(case.found.y - 1))
    why = (
        f"It is not corrected: beyond {100 * most:g} % it is a wrong setting, and factors would only hide it."
        if off > most + 1e-9
        else "It is not corrected, because factors would hide a wrong setting and be wrong the next time. If the "
        "dialog did say actual size, without fitting and without borderless, say so, and it is taken for the "
        "printer's own error."
    )
    explains = f"That is what comes out if {setting.name}: {_range(setting)}."
    return setting.name[:1].upper() + setting.name[1:], (_percents(case), explains, why), setting.advice


def _range(setting: Setting) -> str:
    def one(at: tuple[float, float]) -> str:
        low, high = (f"{100 * value:.1f}" for value in at)
        return f"{low} %" if low == high else f"{low} to {high} %"

    return one(setting.x) if setting.even else f"{one(setting.x)} along x, {one(setting.y)} along y"


def _true(case: Told) -> Made:
    reading = say(catalogue().rule("reading-accuracy"), case.unit)
    sentences: tuple[str, ...] = (_percents(case), f"That is true within the {reading} a steel rule can be read to.")
    if not case.printing.correction.none:
        sentences = (*sentences, f"The correction in force, {factors(case.printing.correction)}, is right.")
    return "It prints true", sentences, "Print the sheets with these settings, on this printer and paper."


def _printer(case: Told) -> Made:
    found, correction = case.found, case.correction or case.printing.correction
    parts = [_side(found.x, found.true_x, "x"), _side(found.y, found.true_y, "y")]
    much = max(abs(found.x - 1), abs(found.y - 1)) > catalogue().rule("printer-error") + 1e-9
    sentences = [f"It prints {' and '.join(parts)}."]
    if case.settings:
        sentences.append(
            "A wrong setting may do the same." if not case.checked else "You have said the dialog is right."
        )
    else:
        sentences.append("No wrong setting that is known does that.")
    if much:
        sentences.append("That is much for a printer: make sure of actual size (100 %) first.")
    if not case.printing.correction.none:
        sentences.append(f"The correction in force, {factors(case.printing.correction)}, is taken in.")
    advice = (
        f"Correct it: {factors(correction)}. The correction is for this printer and this paper only, and stands on "
        "every sheet. Print the check sheet again with it to prove it."
    )
    return "The printer itself is a little off", tuple(sentences), advice


def _side(ratio: float, true: bool, axis: str) -> str:
    if true:
        return f"true along {axis}"
    return f"{abs(100 * (ratio - 1)):.2f} % {'small' if ratio < 1 else 'large'} along {axis}"


def _skew(case: Told) -> Made:
    found, unit = case.found, case.unit
    reading = catalogue().rule("reading-accuracy")
    sentences = [_percents(case)]
    if found.skew > 2 * reading:
        sentences.append(f"Opposite sides, drawn alike, differ by {say(found.skew, unit)}.")
    if abs(found.shear) > 1e-9:
        sentences.append(f"The corners are out of square by {say(abs(found.shear), unit)} in {say(100.0, unit)}.")
    sentences.append("Factors along x and y cannot mend that, so no correction is offered.")
    advice = (
        "Square the stack of paper, set the guides against it, print one sheet at a time and measure again. If it "
        "stays, use another printer, or mark the holes by their coordinates from the list instead of the template."
    )
    return "The print is uneven or out of square", tuple(sentences), advice


def _misread(case: Told) -> Made:
    measured = ", ".join(f"{name} {say(value, case.unit)}" for name, value in case.found.measured.items())
    advice = "Measure each bar again from outer edge to outer edge of the ink, and type it beside its own letter."
    return "One bar is misread", (f"These do not go together: {measured}.",), advice


_EXCHANGED: Made = (
    "x and y are exchanged",
    ("The lengths along x would be right along y, and those along y along x.",),
    "Type each length beside the letter that stands at the bar.",
)


def _typed(given: str, other: str) -> Callable[[Told], Made]:
    sentence = f"Every length is as if it had been measured in {given} and typed as {other}."
    return lambda _: ("Typed in the wrong unit", (sentence,), f"Type the lengths again, in {given} or with their unit.")


def _unknown(case: Told) -> Made:
    most = 100 * catalogue().rule("printer-correctable")
    why = (
        f"No setting that is known does that, and it is not corrected: more than {most:g} % is no printer's own error."
    )
    advice = (
        "In the print dialog choose actual size (100 %), one page per sheet, borderless off and fitting off, and the "
        f"paper {case.printing.paper.name}; print from a PDF viewer. Then print the check sheet again and measure anew."
    )
    if not case.printing.correction.none:
        advice += " If it stays, print one without the correction that is in force."
    return "A wrong setting in the print dialog", (_percents(case), why), advice


def _too_far(case: Told) -> Made:
    most = 100 * catalogue().rule("printer-correctable")
    why = f"With the correction in force, {factors(case.printing.correction)}, more than {most:g} % would be corrected."
    advice = "Print the check sheet without the correction, at actual size (100 %), and measure that one."
    return "The correction in force is for another printer, paper or setting", (_percents(case), why), advice


_CAUSES: dict[str, Callable[[Told], Made]] = {
    "true": _true,
    "printer": _printer,
    "skew": _skew,
    "misread": _misread,
    "exchanged": lambda _: _EXCHANGED,
    "typed-inches": _typed("inches", "mm"),
    "typed-mm": _typed("mm", "inches"),
    "unknown": _unknown,
    "too-far": _too_far,
}


def _others(case: Told) -> tuple[str, ...]:
    """What else would explain it, the likelier first."""
    found, limit = case.found, catalogue().rule("printer-correctable") + 1e-9
    others = [s.name for s in case.settings if s.id != case.cause]
    if case.settings and case.cause == case.settings[0].id and max(abs(found.x - 1), abs(found.y - 1)) <= limit:
        others.append("the printer itself is off, though seldom by so much")
    return tuple(others)


def _error(case: Told) -> str:
    if case.error is None:
        return ""
    return f"The hole farthest from the lines its sheet is laid on would be {say(case.error, case.unit)} off."
