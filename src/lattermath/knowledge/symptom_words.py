"""Finds the symptom that a grower's sentence means, by the words it shares with what is known."""

from __future__ import annotations

import re
from collections.abc import Mapping

from lattermath.knowledge.crosswalk import Crosswalk

# Words that tell nothing of a symptom.
IDLE = frozenset(
    re.findall(
        r"\w+",
        "a an the of on in at to and or it is are was when i my we shake touch some there up with "
        "then from them they this that its all plant plants leaf leaves",
    )
)
ENOUGH = 0.6  # judgement: share of words in common from which on a description is taken as meant
LEAST_IN_COMMON = 2  # judgement: one word alone is no description


def meant(words: str, crosswalk: Crosswalk) -> tuple[str, ...]:
    """The symptom or check ids a sentence may mean, one where it is clear, none where it is not.

    A known phrase is meant when all its words stand in the sentence (the longest one counts);
    else the description that shares most words with it, if it shares enough.
    """
    exact = crosswalk.symptom(words)
    if exact is not None:
        return (exact,)
    said = _telling(words)
    known = {phrase: (_telling(phrase), sign) for phrase, sign in crosswalk.symptoms.items()}
    whole = {p: (t, s) for p, (t, s) in known.items() if t and t <= said and len(t) > 1}
    if whole:
        longest = max(len(t) for t, _ in whole.values())
        return _distinct({p: s for p, (t, s) in whole.items() if len(t) == longest})
    scores = {p: _alike(said, t) for p, (t, _) in known.items()}
    best = max(scores.values(), default=0.0)
    if best < ENOUGH:
        return ()
    return _distinct({p: known[p][1] for p, score in scores.items() if score == best})


def _distinct(found: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(sorted(set(found.values())))


def _telling(words: str) -> frozenset[str]:
    plain = re.findall(r"[a-z]+", words.lower())
    return frozenset(w.removesuffix("s") for w in plain if w not in IDLE and len(w) > 1)


def _alike(said: frozenset[str], known: frozenset[str]) -> float:
    """Words in common, as a share of the mean length of both; 0 for fewer than two."""
    common = len(said & known)
    return 0.0 if common < LEAST_IN_COMMON else 2 * common / (len(said) + len(known))
