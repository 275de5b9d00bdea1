"""The compute kernel `diagnose`: causes, their chances and the next look."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from lattermath.desk.diagnose import diagnose, said_look, signs_of
from lattermath.desk.kernel_forms import Answer, Asked, Form, Word
from lattermath.desk.kernel_forms_words import tables
from lattermath.knowledge.symptom_words import clear_sign, denied_by

Region = Literal["general", "north_america", "europe"]


class DiagnoseAsked(Asked):
    """A crop id or diagnosis group, what was seen, and what was looked for and not seen.

    `present` and `absent` take ids of symptoms and of checks, or plain words. What stands in
    neither was not looked for, which is not the same as absent.
    """

    crop: Word
    region: Region | None = None
    present: list[Word]
    absent: list[Word] | None = None


class CauseChance(Answer):
    """One cause and the chance that it is at work; two may be, so chances can pass 1 together."""

    cause: str
    probability: float


class Diagnosed(Answer):
    """Causes, the likeliest first; `other` is none of them. `next_look` is null where looking ends.

    `look_alikes` are no pests and are ruled out before any spraying; `deed` is what the answers
    point to, null while it is better to hold back.
    """

    causes: list[CauseChance]
    other: float
    next_look: str | None
    next_look_says: str | None
    certain_enough: bool
    deed: str | None
    deed_chance: float
    look_alikes: list[str]
    clinic: bool


def _signs(crop: str, words: Sequence[str]) -> list[str]:
    """What each of these words means on the crop, as `look` reads it; what is not clear as it is,
    for the refusal to name."""
    held = tables()
    among = signs_of(held, crop)
    return [clear_sign(word, held.crosswalk, among) or word for word in words]


def _denied(crop: str, words: Sequence[str], present: Sequence[str]) -> list[str]:
    """The same of what was looked for in vain: of a general word all that say it themselves.

    What was seen goes before a general word that would deny it too.
    """
    held = tables()
    among = signs_of(held, crop)
    found: list[str] = []
    for word in words:
        general = [one for one in denied_by(word, held.crosswalk, among) if one not in present]
        found += general or _signs(crop, [word])
    return found


def _diagnose(asked: DiagnoseAsked) -> Diagnosed:
    held = tables()
    present = _signs(asked.crop, asked.present)
    absent = _denied(asked.crop, asked.absent or (), present)
    found = diagnose(held, asked.crop, asked.region or "general", present, absent)
    look, deed = found.verdict.next_look, found.verdict.deed
    return Diagnosed(
        causes=[CauseChance(cause=c, probability=p) for c, p in found.told.probabilities.items()],
        other=found.told.other,
        next_look=None if look is None else look.sign.id,
        next_look_says=None if look is None else said_look(held, look.sign.id),
        certain_enough=found.verdict.certain_enough,
        deed=None if deed is None else deed.kind,
        deed_chance=found.verdict.chance,
        look_alikes=list(found.look_alikes),
        clinic=found.clinic,
    )


FORMS: dict[str, Form[DiagnoseAsked]] = {
    "diagnose": Form(DiagnoseAsked, Diagnosed, _diagnose, "What may be behind what was seen.")
}
