"""What the print doctor says."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from app.catalogue.load import catalogue
from app.model.printing import PrintCorrection, Printing
from app.paper.check.doctor_causes import Setting
from app.paper.check.doctor_reading import Reading
from app.units import Unit, format_exact, format_inches


class DoctorCase(Struct, frozen=True):
    """What there is to tell: see :class:`app.paper.check.doctor.Diagnosis`."""

    found: Reading
    printing: Printing
    cause: str
    settings: tuple[Setting, ...]
    correction: PrintCorrection | None
    error: float | None
    checked: bool
    unit: Unit


class DoctorWords(Struct, frozen=True):
    """Title, sentences, what to change, and what else it may be."""

    title: str
    text: str
    advice: str
    others: tuple[str, ...]


def advice_of(case: DoctorCase) -> DoctorWords:
    """The words of a diagnosis."""
    by_setting = bool(case.settings) and case.cause == case.settings[0].id
    title, sentences, advice = _setting(case) if by_setting else _CAUSES[case.cause](case)
    return DoctorWords(title, " ".join(s for s in (*sentences, _error(case)) if s), advice, _others(case))


def say(mm: float, unit: Unit) -> str:
    """A small length: to 0.01 mm without needless zeros, or a fraction of an inch, or 0.001"."""
    return format_inches(mm, exactly=True) if unit is Unit.INCH else f"{format_exact(round(mm, 2))} mm"


def factors(correction: PrintCorrection) -> str:
    """A correction as it stands on the sheets: ``x 1.0000 y 0.9960``."""
    return f"x {correction.x:.4f} y {correction.y:.4f}"


Made = tuple[str, tuple[str, ...], str]


def _percents(case: DoctorCase) -> str:
    found = case.found
    return (
        f"The bars come out at {100 * found.x:.2f} % along the short side of the paper (x) and {100 * found.y:.2f} % "
        "along the long side (y)."
    )


def _setting(case: DoctorCase) -> Made:
    setting, most = case.settings[0], catalogue().rule("printer-correctable")
    off = max(abs(case.found.x - 1), abs(case.found.y - 1))
    why = (
        f"No correction is offered: beyond {100 * most:g} % it is a wrong setting, and a correction would only hide it."
        if off > most + 1e-9
        else "No correction is offered, because it would hide a wrong setting and be wrong next time. If the "
        "dialog did say actual size, with fitting and borderless off, tick the box, and it counts as the "
        "printer's own error."
    )
    explains = f"That is what you get if {setting.name}: {_range(setting)}."
    return setting.name[:1].upper() + setting.name[1:], (_percents(case), explains, why), setting.advice


def _range(setting: Setting) -> str:
    def one(at: tuple[float, float]) -> str:
        low, high = (f"{100 * value:.1f}" for value in at)
        return f"{low} %" if low == high else f"{low} to {high} %"

    return one(setting.x) if setting.even else f"{one(setting.x)} along x, {one(setting.y)} along y"


def _true(case: DoctorCase) -> Made:
    reading = say(catalogue().rule("reading-accuracy"), case.unit)
    sentences: tuple[str, ...] = (_percents(case), f"That is true within the {reading} a steel rule can be read to.")
    if not case.printing.correction.none:
        sentences = (*sentences, f"The present correction, {factors(case.printing.correction)}, is right.")
    return "It prints true", sentences, "Print the sheets with these settings, on this printer and paper."


def _printer(case: DoctorCase) -> Made:
    found, correction = case.found, case.correction or case.printing.correction
    parts = [_side(found.x, found.true_x, "x"), _side(found.y, found.true_y, "y")]
    much = max(abs(found.x - 1), abs(found.y - 1)) > catalogue().rule("printer-error") + 1e-9
    sentences = [f"It prints {' and '.join(parts)}."]
    if case.settings:
        sentences.append(
            "A wrong setting can do the same." if not case.checked else "You have ticked that the dialog is right."
        )
    else:
        sentences.append("No known wrong setting does that.")
    if much:
        sentences.append("That is a lot for a printer: make sure of actual size (100 %) first.")
    if not case.printing.correction.none:
        sentences.append(f"The present correction, {factors(case.printing.correction)}, is included.")
    advice = (
        f"Correct it: {factors(correction)}. The correction is for this printer and this paper only, and is "
        "printed on every sheet. Print the check sheet again with it to prove it."
    )
    return "The printer itself is a little off", tuple(sentences), advice


def _side(ratio: float, true: bool, axis: str) -> str:
    if true:
        return f"true along {axis}"
    return f"{abs(100 * (ratio - 1)):.2f} % {'small' if ratio < 1 else 'large'} along {axis}"


def _skew(case: DoctorCase) -> Made:
    found, unit = case.found, case.unit
    reading = catalogue().rule("reading-accuracy")
    sentences = [_percents(case)]
    if found.skew > 2 * reading:
        sentences.append(f"Opposite sides, drawn alike, differ by {say(found.skew, unit)}.")
    if abs(found.shear) > 1e-9:
        sentences.append(f"The corners are out of square by {say(abs(found.shear), unit)} in {say(100.0, unit)}.")
    sentences.append("Factors along x and y cannot put that right, so no correction is offered.")
    advice = (
        "Square the stack of paper, set the guides against it, print one sheet at a time and measure again. If "
        "it persists, use another printer, or mark the holes by their coordinates from the list instead of the "
        "template."
    )
    return "The print is uneven or out of square", tuple(sentences), advice


def _misread(case: DoctorCase) -> Made:
    measured = ", ".join(f"{name} {say(value, case.unit)}" for name, value in case.found.measured.items())
    advice = "Measure each bar again from outer edge to outer edge of the ink, and type it beside its own letter."
    return "One bar is misread", (f"These do not go together: {measured}.",), advice


_EXCHANGED: Made = (
    "x and y are swapped",
    ("The lengths along x would be right along y, and the other way round.",),
    "Type each length beside the letter of its bar.",
)


def _typed(given: str, other: str) -> Callable[[DoctorCase], Made]:
    sentence = f"Every length looks as if it was measured in {given} and typed as {other}."
    return lambda _: ("Typed in the wrong unit", (sentence,), f"Type the lengths again, in {given} or with their unit.")


def _unknown(case: DoctorCase) -> Made:
    most = 100 * catalogue().rule("printer-correctable")
    why = (
        f"No known setting does that, and no correction is offered: more than {most:g} % is not a printer's own error."
    )
    advice = (
        "In the print dialog choose actual size (100 %), one page per sheet, borderless off and fitting off, and the "
        f"paper {case.printing.paper.name}; print from a PDF viewer. Then print the check sheet and measure it again."
    )
    if not case.printing.correction.none:
        advice += " If it persists, print one without the present correction."
    return "A wrong setting in the print dialog", (_percents(case), why), advice


def _too_far(case: DoctorCase) -> Made:
    most = 100 * catalogue().rule("printer-correctable")
    why = f"With the present correction, {factors(case.printing.correction)}, more than {most:g} % would be corrected."
    advice = "Print the check sheet without the correction, at actual size (100 %), and measure that one."
    return "The present correction is for another printer, paper or setting", (_percents(case), why), advice


_CAUSES: dict[str, Callable[[DoctorCase], Made]] = {
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


def _others(case: DoctorCase) -> tuple[str, ...]:
    """What else would explain it, the likelier first."""
    found, limit = case.found, catalogue().rule("printer-correctable") + 1e-9
    others = [s.name for s in case.settings if s.id != case.cause]
    if case.settings and case.cause == case.settings[0].id and max(abs(found.x - 1), abs(found.y - 1)) <= limit:
        others.append("the printer itself is off, though seldom by so much")
    return tuple(others)


def _error(case: DoctorCase) -> str:
    if case.error is None:
        return ""
    return f"The hole furthest from the lines its sheet is laid on would be {say(case.error, case.unit)} off."
