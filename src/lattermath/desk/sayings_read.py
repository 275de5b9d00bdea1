"""Which signs of a plant a grower's saying means on a crop; asked back where it is not clear."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from lattermath.desk.diagnose import signs_of
from lattermath.desk.look_reckoned import answered, named_on
from lattermath.knowledge.enemy_words import enemy_said
from lattermath.knowledge.symptom_words import (
    clear_sign,
    denied_by,
    is_general,
    meant,
    nearest,
    only_sizes,
    without,
)
from lattermath.knowledge.tables import Tables
from lattermath.knowledge.telling_words import parted, telling
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.plot import Planting

MOST_OFFERED = 8  # meanings told at once
MORE = "Or say more of it: where it sits, its colour, its edge, what is underneath."
MANY_THINGS, SEVERAL = "this is said of many things", "this could mean several things"
# Sayings to show how one is written, those first that most crops have; two are shown.
EXAMPLES = ("white powder", "fine webs", "sticky leaves", "slime trails", "small holes",
            "soft insect clusters", "leaves wilting at noon", "stunted plant")  # fmt: skip
SHOWN = 2


@dataclass(frozen=True, slots=True)
class Taken:
    """What several sayings were taken for.

    unread : parts in which no sign was found, beside those that had one.
    asked  : sayings that are not clear, each with what it may mean.
    enemies: natural enemies that were named, by their ids; they tell of no trouble.
    """

    seen: tuple[str, ...]
    not_seen: tuple[str, ...]
    unread: tuple[str, ...] = ()
    asked: tuple[Fault, ...] = ()
    enemies: tuple[str, ...] = ()


def taken(
    tables: Tables, planting: Planting, seen: Sequence[str], not_seen: Sequence[str]
) -> Taken:
    """The signs that sayings mean on this crop; what is not clear is asked, the rest is kept.

    InputError where something was said and none of it is clear.
    """
    asked: list[Fault] = []
    unread: list[str] = []
    enemies = dict.fromkeys(one for said in seen for one in enemies_named(tables, planting, said))

    def read(said: str) -> tuple[str, ...]:
        if _only_enemies(tables, planting, said):
            return ()
        signs, parts = signs_meant(tables, planting, said, "--seen")
        unread.extend(parts)
        return signs

    def deny(said: str) -> tuple[str, ...]:
        return signs_denied(tables, planting, said, "--not")

    told = _each(read, seen, asked)
    denied = _each(deny, not_seen, asked)
    yes = tuple(dict.fromkeys(sign for signs in told for sign in signs))
    no = tuple(  # what was seen goes before a general word that would deny it too
        dict.fromkeys(one for ids in denied for one in ids if len(ids) == 1 or one not in yes)
    )
    if asked and not (yes or no or enemies):
        raise InputError(asked)
    return Taken(yes, no, tuple(unread), tuple(asked), tuple(enemies))


def _each(
    read: Callable[[str], tuple[str, ...]], sayings: Sequence[str], asked: list[Fault]
) -> list[tuple[str, ...]]:
    """What each saying is read as; what is asked back of those that are not clear is added."""
    found = []
    for said in sayings:
        try:
            found.append(read(said))
        except InputError as refused:
            asked.extend(refused.faults)
    return found


def enemies_named(tables: Tables, planting: Planting, words: str) -> tuple[str, ...]:
    """The natural enemies that a saying names, where it is no sign by itself: ladybird eggs."""
    if tables.crosswalk.symptom(words):
        return ()
    said = (enemy_said(part, tables.crosswalk) for part in (words, *parted(words)))
    found = dict.fromkeys(one.enemy for one in said if one is not None)
    return tuple(one for one in found if not _is_sign(tables, planting, words, one))


def _is_sign(tables: Tables, planting: Planting, words: str, enemy: str) -> bool:
    """Whether words that name an enemy are clear as a sign: its eggs, or what it left of pests."""
    said = enemy_said(words, tables.crosswalk)
    alone = said is not None and said.alone and not tables.enemies[enemy].is_a_share
    among = signs_of(tables, planting.crop)
    return not alone and len(parted(words)) < 2 and bool(clear_sign(words, tables.crosswalk, among))


def _only_enemies(tables: Tables, planting: Planting, words: str) -> bool:
    """Whether a saying names a natural enemy and tells nothing else but how it looks."""
    said = enemy_said(words, tables.crosswalk)
    return said is not None and said.alone and bool(enemies_named(tables, planting, words))


def reads(tables: Tables, planting: Planting, words: str) -> bool | None:
    """Whether a look at that planting reads a saying; None where it asks which sign is meant."""
    try:
        signs_meant(tables, planting, words, "--seen")
    except InputError as refused:
        return None if asks_back(refused) else False
    return True


def asks_back(refused: InputError) -> bool:
    """Whether a saying was refused to ask which of several signs it means."""
    return any(fault.what in (MANY_THINGS, SEVERAL) for fault in refused.faults)


def signs_meant(
    tables: Tables, planting: Planting, words: str, where: str
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Every sign that a saying names on this crop, and the parts in which none was found.

    It is taken part by part where one part tells what the whole would be taken for, and another
    tells more; a part that could mean several things is then not read, and told with them.
    InputError where nothing is clear.
    """
    among, parts = signs_of(tables, planting.crop), parted(words)
    found = {part: meant(part, tables.crosswalk, among) for part in parts}
    clear = {
        ids[0]: part
        for part, ids in found.items()
        if len(ids) == 1 and not is_general(part, tables.crosswalk, among)
    }
    way, whole = _meant_here(tables, planting, words)
    if len(parts) > 1 and not clear and not whole:  # then a part that is nearly clear is asked of
        words = next((part for part, ids in found.items() if ids), words)
    if len(parts) < 2 or not clear:
        return (sign_meant(tables, planting, words, where),), ()
    if len(whole) == 1 and whole[0] not in clear and not is_general(way, tables.crosswalk, among):
        texts = tables.crosswalk.sign_texts
        own = telling(texts.get(whole[0], whole[0]))
        beside = ((sign, part) for sign, part in clear.items() if not telling(part) & own)
        return whole, tuple(f"{part} (it may be: {_offered(tables, (s,))})" for s, part in beside)
    if whole and telling(words) <= telling(clear.get(whole[0], "")):
        return (whole[0],), ()
    texts = tables.crosswalk.sign_texts
    read = {word for sign in clear for word in telling(texts.get(sign, sign))}
    unread = (
        f"{part} (it may be: {_offered(tables, ids)})" if ids else part
        for part, ids in found.items()
        if not set(ids) & set(clear)
        and (ids or not telling(part) <= read)
        and enemy_said(part, tables.crosswalk) is None  # it is told as what it is
    )
    return tuple(clear), tuple(unread)


def sign_meant(tables: Tables, planting: Planting, words: str, where: str) -> str:
    """The sign that a saying means on this crop; InputError with what it may mean."""
    among = signs_of(tables, planting.crop)
    way, found = _meant_here(tables, planting, words)
    near = nearest(words, tables.crosswalk, among)
    if len(found) == 1:
        if not is_general(way, tables.crosswalk, among):
            return found[0]
        remedy = f"If it is one of these, say so: {_offered(tables, _with(found, near))}. {MORE}"
        raise InputError(Fault(MANY_THINGS, where, words, remedy))
    if found:
        remedy = f"Look again, and say which: {_offered(tables, found)}."
        raise InputError(Fault(SEVERAL, where, words, remedy))
    what = "these words are not known as something seen on a plant"
    begin = (
        f"Did you mean: {_offered(tables, near).removesuffix('?')}? "
        if near
        else f'If no words fit, write it down (lattermath log seen {planting.key} "{words}") and '
        "show it to a plant clinic. "
    )
    shown = f", as in: {'; or '.join(shows)}" if (shows := examples(tables, planting)) else ""
    remedy = f"{begin}Say what you see in other words{shown}."
    if name := tables.crosswalk.kind(words) or tables.crosswalk.organism(words):
        remedy += f" If you know it is that: lattermath log count {planting.key} {name} 12,0,3."
    elif cause := named_on(tables, words, planting.crop):
        remedy += f" If you know it is that: {answered(tables, cause, planting.crop)}."
    raise InputError(Fault(what, where, words, remedy))


def _meant_here(tables: Tables, planting: Planting, words: str) -> tuple[str, tuple[str, ...]]:
    """The ids that a saying may mean on this crop, and the way in which it was taken.

    The crop's own name tells its fruit or root, or nothing: "no beans", "the kale is wilting". The
    way that is clear goes first; where none is, all that is meant in some way.
    """
    among = signs_of(tables, planting.crop)
    crop = (planting.name, *(tables.crosswalk.named(planting.crop, n) for n in (1, 2)))
    ways = (words, *(without(words, crop, part) for part in ("fruit", "root", "")))
    if only_sizes(ways[-1]):  # little courgettes are no stunted plants
        ways = ways[:-1] if ways[-1] != words else ways
    taken = [(way, meant(way, tables.crosswalk, among)) for way in dict.fromkeys(ways)]
    found = [(way, ids) for way, ids in taken if ids]
    clear = (one for one in found if len(one[1]) == 1)
    every = dict.fromkeys(one for _, ids in reversed(found) for one in ids)
    return next(clear, (found[0][0], tuple(every))) if found else ("", ())


def signs_denied(tables: Tables, planting: Planting, words: str, where: str) -> tuple[str, ...]:
    """The signs that were looked for and not seen: of a general word all that say it themselves.

    InputError where it is not clear, as of what was seen.
    """
    every = denied_by(words, tables.crosswalk, signs_of(tables, planting.crop))
    return every or (sign_meant(tables, planting, words, where),)


def _with(found: tuple[str, ...], near: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*found, *near)))


def _offered(tables: Tables, signs: tuple[str, ...]) -> str:
    """Signs in their own words, which are taken as they stand here."""
    return "; or ".join(tables.crosswalk.sign_texts[sign] for sign in signs[:MOST_OFFERED])


def examples(tables: Tables, planting: Planting) -> tuple[str, ...]:
    """Sayings that are read on that crop as they stand."""
    return tuple(islice(_examples(tables, planting), SHOWN))


def _examples(tables: Tables, planting: Planting) -> Iterator[str]:
    among = signs_of(tables, planting.crop)
    texts = (tables.crosswalk.sign_texts[sign] for sign in sorted(among))
    for one in (*EXAMPLES, *texts):
        if clear_sign(one, tables.crosswalk, among):
            yield one
