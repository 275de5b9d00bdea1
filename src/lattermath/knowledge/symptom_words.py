"""Finds the symptom that a grower's saying means, by the words it shares with what is known."""

from __future__ import annotations

import difflib
import re
from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise, product

from lattermath.knowledge.crosswalk import Crosswalk, tidy
from lattermath.knowledge.telling_words import COLOURS, IDLE, TURNS, Words, stem, telling
from lattermath.knowledge.word_numbers import joined

# Where on a plant or plot: a saying that names another place than what is known is not it.
PLACES = ("fruit", "flower", "root", "stem", "soil", "pod", "cob", "bulb", "head", "seedling",
          "ground", "butterfly", "trap")  # fmt: skip
# Where on a leaf: what is known to sit there is not meant by a saying without the place.
SIDES = ("under",)
AS_WELL = (("white", "pale"), ("black", "dark"))  # said of a thing that its description calls so
# Animals by whose name a grower says what was seen, whatever else is said with it.
ANIMALS = ("aphid", "blackfly", "greenfly", "ant", "whitefly", "whiteflies", "thrips", "slug",
           "snail", "earwig", "leafhopper", "hornworm", "earworm", "cutworm", "rabbit", "deer",
           "raccoon", "pigeon", "wireworm")  # fmt: skip
# Parts of a plant on which an animal that is named is itself: aphids on the stems, not on roots.
ANYWHERE = ("stem", "head", "pod")
# How large: without it a saying is read too, if what it is then taken for is not of another size.
LARGE, SMALL = ("large", "huge", "fat"), ("small",)
# Words that may be said of anything: they, general words and places in common are no likeness.
WEAK = ("fine", "under", "young", "old", "upper", "lower")
# Other animals to which something is likened: a saying that names one is of nothing else.
LIKENED = ("ladybird", "ladybug")
# What has a colour of its own on a leaf that has another.
MARKS = ("spot", "patch", "dot", "speck", "mark", "fleck", "area", "blotch", "edge", "tip",
         "streak", "line", "ring", "beetle", "egg", "insect", "caterpillar")  # fmt: skip
# What is said of many things: alone these words tell no sign, though one may be left on a crop.
GENERAL = re.findall(
    r"\w+",
    "white black brown yellow green grey dark pale red orange small big large spot patch dot speck "
    "mark fleck caterpillar worm maggot grub insect bug beetle fuzz mould stuff thing",
)
ENOUGH = 0.6  # judgement: share of words in common from which on a description is taken as meant
STRANGE = 0.25  # judgement: share of a saying's words that a description may lack
LEAST_IN_COMMON = 2  # judgement: one word alone is no description
A_SLIP = 0.8  # judgement: as alike as a slip of the pen leaves two words
OFFERED = 4


def meant(
    words: str, crosswalk: Crosswalk, among: Collection[str] | None = None
) -> tuple[str, ...]:
    """The symptom or check ids a saying may mean, one where it is clear, none where it is not.

    among : ids that something on this crop can show; None for all. Only an id itself is taken
    although it is not among them.

    A known phrase is meant when all its words stand in the saying (the longest one counts), or
    when it has one word and the saying no other; else the description that shares most words
    with it, if it shares enough. Neither is meant where the saying denies something, or names a
    place on the plant, that the phrase does not.
    """
    found = _matched(words, crosswalk, among)
    return found if isinstance(found, tuple) else _first_of(found.values())


def is_general(words: str, crosswalk: Crosswalk, among: Collection[str] | None = None) -> bool:
    """Whether a saying is taken by words that are said of many things: `brown spots`.

    Then the one sign that is left on a crop is one guess, to be offered and not taken; but a word
    more that stands in the sign's own tells it: `greasy brown spots`.
    """
    found = _matched(words, crosswalk, among)
    if isinstance(found, tuple):
        return False
    signs = _first_of(found.values())
    own = {word for one in signs for word in telling(crosswalk.sign_texts.get(one, one))}
    if (telling(words) - _GENERAL) & own:
        return False
    return any(telling(p) <= _GENERAL for p in found if p in crosswalk.sayings)


def denied_by(
    words: str, crosswalk: Crosswalk, among: Collection[str] | None = None
) -> tuple[str, ...]:
    """The ids that cannot be there where a general saying is denied: `wilting`, `yellow leaves`.

    Of all that it may mean those whose own words say it, and only where it is said with no word
    more, which might narrow it: dry soil is offered for wilting, and is not denied with it.
    """
    found = _matched(words, crosswalk, among)
    said = telling(words)
    if isinstance(found, tuple) or said & TURNS or any(telling(p) != said for p in found):
        return ()
    texts = crosswalk.sign_texts
    return tuple(one for one in _first_of(found.values()) if _denies(said, texts.get(one, one)))


def _denies(said: Words, text: str) -> bool:
    """Whether a sign is ruled out by its own words once these are not there.

    Not where it is only beside what the sign is (torn leaves with droppings), or one of two things
    that it may be (yellowing or wilting); not inside of what nobody opened (a caterpillar in the
    soil); and a colour alone denies leaves of it, no spots.
    """
    head = re.split(r",|\bwith\b", text)[0]
    if not said <= telling(head):
        return False
    inside = {stem(place) for place in _INSIDE.findall(text)}
    mark = said <= _COLOURS and telling(head) & _MARKS
    other = any(
        len({one, two} & said) == 1 and not {one, two} <= _COLOURS
        for pair in re.findall(r"(\w+) or (\w+)", head)
        for one, two in [tuple(map(stem, pair))]
    )
    return not (inside - said or mark or other)


def clear_sign(words: str, crosswalk: Crosswalk, among: Collection[str] | None = None) -> str:
    """The one sign that a saying means, and does not only resemble; "" where it is not clear."""
    found = meant(words, crosswalk, among)
    return found[0] if len(found) == 1 and not is_general(words, crosswalk, among) else ""


def _matched(
    words: str, crosswalk: Crosswalk, among: Collection[str] | None
) -> tuple[str, ...] | dict[str, tuple[str, ...]]:
    """The phrases that a saying is taken for, with their ids; or the id that it is word for word.

    See `meant`.
    """
    exact = crosswalk.symptom(words)
    if exact is not None and (among is None or exact in among or words_of_its_own(words, exact)):
        return (exact,)
    phrases = _known(crosswalk, among)
    if denied := _turned(words):
        said_so = {p: one for p, one in phrases.ways.items() if not denied & _affirmed(p)}
        phrases = replace(phrases, ways=said_so)
    found = _taken_for(telling(words), phrases, crosswalk)
    if found:
        return found
    otherwise = joined(words, {phrase for phrase in phrases.ids if "_" not in phrase})
    if found := _taken_for(telling(otherwise), phrases, crosswalk):
        return found
    return _without_size(telling(words), phrases, crosswalk)


def _without_size(said: Words, phrases: _Known, crosswalk: Crosswalk) -> dict[str, tuple[str, ...]]:
    """What a saying is taken for when its sizes are left out: large green droppings.

    {} where it names none, or where one of what it may mean is of another size.
    """
    sizes = said & (_LARGE | _SMALL)
    if not sizes or not said - sizes:
        return {}
    other = (_SMALL if sizes & _LARGE else frozenset()) | (
        _LARGE if sizes & _SMALL else frozenset()
    )
    found = _taken_for(said - sizes, phrases, crosswalk)
    texts = crosswalk.sign_texts
    if any(not phrases.ways[p][0] <= said for p in found):  # it only resembles it
        return {}
    contrary = (p for p, ids in found.items() if (_own(texts, ids) | telling(p)) & other)
    return {} if any(contrary) else found


def _own(texts: Mapping[str, str], ids: Iterable[str]) -> Words:
    """The telling words of signs in their own words."""
    return frozenset(word for one in ids for word in telling(texts.get(one, one)))


def _taken_for(said: Words, phrases: _Known, crosswalk: Crosswalk) -> dict[str, tuple[str, ...]]:
    """The phrases that the telling words of a saying are taken for, with their ids; {} for none."""
    known = phrases.ways
    whole = {p: t for p, (t, ids) in known.items() if t and _holds(said, t, ids, crosswalk)}
    if whole:
        longest = max(len(t) for t in whole.values())
        held = {p: known[p][1] for p, t in whole.items() if len(t) == longest}
        # what is said of few things goes before what is said of many: rusty brown spots
        return {p: ids for p, ids in held.items() if not whole[p] <= _GENERAL | _WEAK} or held
    called = said.union(d for c, d in _AS_WELL if c in said)
    scores = {
        p: _alike(_as_called(said, t), t)
        for p, (t, ids) in known.items()
        if len(t & called) >= LEAST_IN_COMMON  # else they are not alike at all
        and not t & called <= _SLIGHT
        and t & _NEEDED <= said
        and len(_as_called(said, t) - t) <= STRANGE * len(said)
        and _fits(said, t, ids, crosswalk)
    }
    best = max(scores.values(), default=0.0)
    if best < ENOUGH:
        return {}
    return {p: known[p][1] for p, score in scores.items() if score == best}


def nearest(
    words: str, crosswalk: Crosswalk, among: Collection[str] | None = None
) -> tuple[str, ...]:
    """The ids most like a saying that is not clear, to be offered; empty where nothing is.

    Words are weighed by how few phrases have them, and slips of the pen are seen through.
    """
    known = _known(crosswalk, among)
    often = known.often
    said = frozenset(_mended(word, often) for word in telling(words) - TURNS)
    best: dict[str, float] = {}
    for told, ids in ((telling(p), ids) for p, ids in known.ids.items()):
        common = sum(1 / often[word] for word in said & told)
        score = common / (len(said | told) ** 0.5) if common else 0.0
        for one in ids:
            best[one] = max(best.get(one, 0.0), score)
    ranked = sorted((one for one in best if best[one] > 0), key=lambda one: (-best[one], one))
    return tuple(ranked[:OFFERED])


def without(words: str, names: Iterable[str], instead: str = "") -> str:
    """A saying without the names of the crop, or with another word in their place."""
    stems = frozenset(stem for name in names for stem in telling(name))
    kept = [instead if telling(one) and telling(one) <= stems else one for one in words.split()]
    return " ".join(one for one in kept if one)


def only_sizes(words: str) -> bool:
    """Whether a saying tells nothing but how large something is."""
    return telling(words) <= _LARGE | _SMALL


def words_of_its_own(words: str, sign: str) -> bool:
    """Whether a saying is an id itself, with or without its strokes."""
    return tidy(words) == tidy(sign)


def _turned(words: str) -> Words:
    """The telling words that stand right behind a word that turns them round: no wilting."""
    plain = [w for w in re.findall(r"[a-z]+", words.lower()) if w not in IDLE]
    pairs = pairwise(plain)
    return frozenset(stem(then) for turn, then in pairs if turn in TURNS and then not in TURNS)


@lru_cache(maxsize=8192)
def _affirmed(phrase: str) -> Words:
    """The telling words of a phrase with a turn, before it: wilted, not recovered at dawn.

    Empty where it has none: then the phrase does not fit a saying that has one anyway.
    """
    plain = re.findall(r"[a-z]+", phrase.lower())
    at = next((n for n, word in enumerate(plain) if word in TURNS), 0)
    return telling(" ".join(plain[:at])) - telling(" ".join(plain[at:]))


_PLACES = frozenset(stem(word) for word in (*PLACES, *LIKENED))
_NEEDED = frozenset(stem(word) for word in PLACES) | frozenset(stem(word) for word in SIDES)
_ANYWHERE = frozenset(stem(word) for word in ANYWHERE)
_LARGE = frozenset(stem(word) for word in LARGE)
_SMALL = frozenset(stem(word) for word in SMALL)
_WEAK = frozenset(stem(word) for word in WEAK)
_ANIMALS = frozenset(stem(word) for word in ANIMALS)
_INSIDE = re.compile(rf"\b(?:in|inside|of) (?:the )?(?:\w+ )?({'|'.join(PLACES)})s?\b")
_MARKS = frozenset(stem(word) for word in MARKS)
_COLOURS = frozenset(stem(word) for word in COLOURS)
_AS_WELL = tuple((stem(said), stem(called)) for said, called in AS_WELL)
_CALLED = frozenset(said for said, _ in _AS_WELL)
_GENERAL = frozenset(stem(word) for word in GENERAL)
_SLIGHT = _WEAK | _GENERAL | _PLACES | _LARGE


@dataclass(frozen=True, slots=True, eq=False)
class _Known:
    """Phrases that mean something on a crop.

    ids   : what each may mean. ways : each in every wording, with its telling words.
    often : phrases that have each telling word.
    """

    ids: Mapping[str, tuple[str, ...]]
    ways: Mapping[str, tuple[Words, tuple[str, ...]]]
    often: Mapping[str, int]


def _known(crosswalk: Crosswalk, among: Collection[str] | None) -> _Known:
    """Every phrase with the ids it may mean on this crop; without those that mean none there."""
    return _known_among(crosswalk, None if among is None else frozenset(among))


@lru_cache(maxsize=128)
def _known_among(crosswalk: Crosswalk, among: frozenset[str] | None) -> _Known:
    every = {p: (sign,) for p, sign in crosswalk.symptoms.items()} | dict(crosswalk.sayings)
    here = {
        p: tuple(one for one in ids if among is None or one in among) for p, ids in every.items()
    }
    said = {telling(p) for p, ids in here.items() if ids and p != tidy(ids[0])}
    held = {p: ids for p, ids in here.items() if ids and not _bare(p, ids[0], said, crosswalk)}
    ways = {way: (telling(way), ids) for p, ids in held.items() for way in _ways(p)}
    return _Known(held, ways, Counter(word for p in held for word in telling(p)))


def _bare(phrase: str, sign: str, said: Collection[Words], crosswalk: Crosswalk) -> bool:
    """Whether a phrase is an id that tells less than what growers say: root swellings, flowers."""
    told = telling(phrase)
    check = sign in crosswalk.check_signs
    return phrase == tidy(sign) and (told in said or (check and len(told) < LEAST_IN_COMMON))


@lru_cache(maxsize=4096)
def _ways(phrase: str) -> tuple[str, ...]:
    """A phrase, and with one of each pair of its alternatives: tan or grey, leaves or ground."""
    parts = re.split(r"([a-z]+_or_[a-z]+)", phrase)
    if len(parts) == 1:
        return (phrase,)
    told = product(*(part.split("_or_") if n % 2 else (part,) for n, part in enumerate(parts)))
    return (phrase, *("".join(one) for one in told))


def _as_called(said: Words, told: Words) -> Words:
    """A saying with the colours that a description has, where it calls them by their like."""
    if not said & _CALLED:
        return said
    like = {c: d for c, d in _AS_WELL if c in said and c not in told and d in told}
    return frozenset(like.get(word, word) for word in said) if like else said


def _holds(said: Words, told: Words, ids: tuple[str, ...], crosswalk: Crosswalk) -> bool:
    """Whether a phrase stands in a saying as a whole."""
    if not told <= said:
        return False
    animal = told <= _ANIMALS
    long_enough = len(told) >= LEAST_IN_COMMON or told == said or animal
    fits = long_enough and _fits(said - _ANYWHERE if animal else said, told, ids, crosswalk)
    return fits and _of_its_colour(said, told, ids, crosswalk)


def _of_its_colour(said: Words, told: Words, ids: tuple[str, ...], crosswalk: Crosswalk) -> bool:
    """Whether a saying names no colour where what it would be taken for has others: yellow eggs."""
    own = {word for one in ids for word in telling(crosswalk.sign_texts.get(one, one))} | told
    return not own & _COLOURS or not _as_called(said, frozenset(own)) & _COLOURS - own


def _fits(said: Words, told: Words, ids: tuple[str, ...], crosswalk: Crosswalk) -> bool:
    """Whether a saying denies nothing and names no place that a phrase does not."""
    if not said & TURNS <= told:
        return False
    places = said & _PLACES
    if not places - told:
        return True
    own: set[str] = set()
    for one in ids:
        own |= telling(crosswalk.sign_texts.get(one, one))
    return places <= told | own


def _first_of(found: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    return tuple(sorted({one for ids in found for one in ids}))


def _alike(said: Words, known: Words) -> float:
    """Words in common, as a share of the mean length of both; 0 for fewer than two."""
    common = len(said & known)
    return 0.0 if common < LEAST_IN_COMMON else 2 * common / (len(said) + len(known))


def _mended(word: str, known: Collection[str]) -> str:
    """The known word that a word is a slip of; itself where it is known or none is near."""
    if word in known:
        return word
    return next(iter(difflib.get_close_matches(word, sorted(known), 1, A_SLIP)), word)
