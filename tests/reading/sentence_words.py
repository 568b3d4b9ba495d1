"""What the sentences of findings may say: the forms that hold two lengths against each other, and all others."""

from __future__ import annotations

import re
from collections.abc import Iterator

from tests.reading.following import read
from tests.reading.remedy_words import LENGTH

_THERE, _NEEDED = rf"(?P<there>{LENGTH})", rf"(?P<needed>{LENGTH})"
_LOW, _HIGH = rf"(?P<low>{LENGTH})", rf"(?P<high>{LENGTH})"
_MUCH = rf"(?:{LENGTH}|a shade)"
_NEEDS = rf"(?:.+ needs )?{_NEEDED}(?: of board)?(?: is needed| should be left)?(?: beyond them| between them)?"
_TURN = r"(?: to turn (?:it|the nut))?"
_FILM = rf"(?:; paint takes {LENGTH} of it)?"

# What there is, and what is needed: more than that.
SHORT = (
    rf".+ comes within {_THERE} of .+ at worst; {_NEEDS}{_TURN}\.",
    rf"(?:Below the board, )?.+ are {_THERE} apart at worst; {_NEEDS}{_TURN}\.",
    rf"Only {_THERE} of board is left between .+; {_NEEDS}\.",
    rf".+ leaves? {_THERE} of board; {_NEEDS}\.",
    rf".+ leaves? {_THERE} round what sits in (?:it|them), {LENGTH} × {LENGTH}; {_NEEDS}\.",
    rf".+ ha(?:s|ve) inside corners of {_THERE}; the router bit leaves {_NEEDED}\.",
    rf".+ does not hang below the board: {_THERE} is free there, and its wires need {_NEEDED}\.",
    rf".+ hangs .+ is free: that leaves {_THERE}, and wires need {_NEEDED}\.",
    rf".+ hangs {_NEEDED} below the board, where only {_THERE} is free: {_MUCH} too deep\.",
    rf".+ go(?:es)? on, but only {_THERE} of thread shows beyond; {_NEEDS}\.",
    rf".+ (?:is|are) {_THERE} wide, and the nut is {_NEEDED} across its corners: it does not fit\.",
    rf".+ (?:is|are) {_THERE} wide; (?:turning the nut takes|the clips need) {_NEEDED}(?: to spring out)?\.",
    rf"The screws of .+ hold in {_THERE} of board; {_NEEDS}\.",
    rf"The {LENGTH} screws of .+ end {_THERE} short of the other face; {_NEEDS}\.",
    rf"The {LENGTH} .+ bit reaches {_THERE}, and .+ (?:is|are) {_NEEDED} deep\.",
    rf"The {LENGTH} opening of .+ is {_THERE} when painted; the part needs {_NEEDED}\.",
    rf"The {_THERE} of board above .+ bears .+; (?:even the whole board, )?{_NEEDED},? would (?:just |not )?bear .+",
    rf"The .+ edge has only {_THERE} straight: too little to glue the {_NEEDED} rail to\.",
    rf".+, {_THERE}, (?:is|are) no wider than the {_NEEDED} hole, and pulls? through\.",
)

# What there is, and from what to what it may be: outside of that.
OUTSIDE = (
    rf".+ stands? {_THERE} above the top face; {_LOW} to {_HIGH} is right\.",
    rf".+ hold (?:{_LOW} to|up to) {_HIGH} of board; here it is {_THERE}(?: with its paint)?: too \w+\.",
    rf"You have no bit for .+, where {_LOW} to {_HIGH} will do; the nearest, the {_THERE} .+ bit, is .+\.",
)

# Two lengths that are not the same.
UNLIKE = (
    rf"The {_NEEDED} holes? of .+ drilled with the {_THERE} bit, {_MUCH} (?:over|under); .+ will do.*\.",
    rf"You have no flat-bottomed bit of {_NEEDED} for .+; the nearest, the {_THERE} .+ bit, is .+\.",
)

# A thread, what nut and spare thread take of it, and a board that is more than the rest.
THREAD = rf".+: the thread is {_THERE}, nut and spare thread take {_LOW} of it, and the board is {_NEEDED}.*\."

# Lengths that stand by themselves: what is there is nothing, or less than nothing.
ALONE = (
    r"No wire gets from .+ to .+: bodies, rails and areas to keep clear leave no way below the board\.",
    r"Wires need \d+ pins for (?:switches|turning controls); .+ ha(?:s|ve) (?:\d+|none)\.",
    r"Tab \d+ of .+ was put on pin \d+ of .+\.",
    r".+ and what is wired to it draw [\d,]+ mA; what feeds it gives [\d,]+ mA \(.+\)\.",
    rf"You have no bit for .+, where .+ will do{_FILM}(?:; the nearest, the {LENGTH} .+ bit, is .+)?\.",
    r"You have no (?:flat-bottomed|router) bit .+\.",
    rf".+ (?:runs?|reach(?:es)?|hangs?|breaks|overlap by|can run) {_MUCH} (?:over|into|past|under) .+\.",
    rf".+ overlap by {_MUCH}.*\.",
    r".+ can (?:reach|touch) .+\.",
    r".+ can run into each other at worst; .+\.",
    r"The holes of \d+ parts run into the hole of .+\.",
    rf"No board is left between .+; {_NEEDS}\.",
    rf".+ ha(?:s|ve) sharp inside corners; the router bit leaves {LENGTH}\.",
    r".+ leaves? no (?:room round|board at all).+\.",
    rf"The {LENGTH} of board above .+ bears .+; a shade more would (?:just )?bear .+",
    rf".+ hangs? {LENGTH} below the board, where nothing is free.+\.",
    rf".+ does not hang below the board, but nothing is free there: {LENGTH} too little\.",
    rf".+ does not hang below the board: nothing is free there, and its wires need {LENGTH}\.",
    rf".+ hangs? {LENGTH} below the board, where .+ is free: that leaves nothing, and wires need {LENGTH}\.",
    rf".+ no thread shows beyond; {_NEEDS}\.",
    r".+ go(?:es)? right through the board\.",
    rf".+ too small: {LENGTH} × {LENGTH} has to go in, and a wall is {_MUCH} in the way\.",
    rf".+ hold in no board at all; {_NEEDS}\.",
    rf".+ come through the other face by {_MUCH}: .+\.",
    rf".+ end at the other face; {_NEEDS}\.",
    r".+ here no board is left\.",
    r".+ do(?:es)? not come above the top face; .+\.",
    r"(?:The deck|Holes and openings).* An estimate for choosing a depth, not a structural approval\.",
    r".+ edge has nothing straight .+\.",
    rf".+ do(?:es)? not cover .+: {_MUCH} of it stays open\.",
    rf".+ do(?:es)? not go through .+: {_MUCH} too wide on each side\.",
    r".+ falls? through .+ from below: nothing rests on the board\.",
    rf"A screw of .+ misses what it should hold by {_MUCH}\.",
    r".+ no wider than the .+ hole, and pulls? through\.",
)


def quarrels(said: str) -> Iterator[str]:
    """What is wrong with the lengths of a sentence, each in a few words; nothing if it may be said.

    Raises:
        AssertionError: the sentence is of no known form.
    """
    if re.search(r'(?<![\d./×])(?:-[\d./ ]+|0(?:\.0+)?)(?: mm|")', said):
        yield "a length that is none"
    if match := re.fullmatch(THREAD, said):
        if read(match["there"]) - read(match["low"]) >= read(match["needed"]) - _SAME:
            yield "the thread is long enough as it is written"
    elif match := _first(SHORT, said):
        if read(match["there"]) >= read(match["needed"]) - _SAME:
            yield "enough is there as it is written"
    elif match := _first(OUTSIDE, said):
        there, high = read(match["there"]), read(match["high"])
        low = read(match["low"]) if match["low"] else 0.0
        if low - _SAME <= there <= high + _SAME:
            yield "what is there is within what may be as it is written"
    elif match := _first(UNLIKE, said):
        if abs(read(match["there"]) - read(match["needed"])) <= _SAME:
            yield "the same size, and another one"
    else:
        assert _first(ALONE, said), f"of no known form: {said}"


_SAME = 1e-6  # mm


def _first(forms: tuple[str, ...], said: str) -> re.Match[str] | None:
    return next((match for form in forms if (match := re.fullmatch(form, said))), None)
