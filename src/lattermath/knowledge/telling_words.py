"""The words of a grower's saying that tell something, each by its stem; and its parts."""

from __future__ import annotations

import re
from functools import lru_cache

Words = frozenset[str]

# Words that tell nothing of a symptom.
IDLE = frozenset(
    re.findall(
        r"\w+",
        "a an the of on in at to and or it is are was has have be being get gets getting got when "
        "i my we our shake touch see saw there up with then from them they these those this that "
        "its all some any just very so too also now lots lot many much more everywhere covered "
        "go goes going went gone turning become becoming find found "
        "already do does did start starts started starting "
        "full plant plants leaf leaves like looks look",
    )
)
# What turns a saying round: it must stand in what is known too.
TURNS = frozenset(
    re.findall(r"\w+", "no not none never nothing without hardly isn aren don doesn cannot wasn")
)
SAME = {"gray": "grey", "tiny": "small", "little": "small", "mold": "mould", "mouldy": "mould",
        "limp": "wilt", "droop": "wilt", "blossom": "flower", "eaten": "eat", "ate": "eat",
        "underneath": "under", "beneath": "under", "below": "under",
        "underside": "under", "undersides": "under",
        "fluff": "fuzz", "chew": "eat", "nibbl": "eat", "collaps": "wilt", "suddenly": "sudden",
        "swellings": "swell", "lump": "swell", "lumps": "swell",
        "big": "large", "broke": "broken",
        "bug": "insect", "bugs": "insect", "speck": "dot", "specks": "dot",
        "worm": "caterpillar", "worms": "caterpillar", "ear": "cob", "ears": "cob",
        "poo": "droppings", "poop": "droppings", "frass": "droppings", "excrement": "droppings",
        "edge": "rim", "edges": "rim", "margin": "rim", "margins": "rim",
        "border": "rim"}  # fmt: skip
# Colours by which one thing is told from another; what is pale is often called white.
COLOURS = ("white", "pale", "black", "dark", "brown", "yellow", "green", "grey", "red", "orange",
           "purple", "pink", "silver", "bronze", "tan")  # fmt: skip
# What is said in several words and is one thing, with the words it is read as.
SAID_AS = (
    (re.compile(r"\ball over\b"), " "),
    (re.compile(r"\bfrom (?:the )?(?:bottom|below)(?: up(?:wards?)?)?\b|\bbottom up(?:wards?)?\b"),
     " lower "),
    (re.compile(r"\bvee\b|\bv\b(?:[- ]?(?:shaped?|wedges?))?|\bv(?:shaped|shapes?)\b"), " vshape "),
    # A maggot lives in a root, a bulb or a leaf: with it alone a leaf is a place.
    (re.compile(r"\bmaggots? (?:\w+ )?(?:in|inside) (?:\w+ )?lea(?:f|ves)\b"
                r"|\blea(?:f|ves) (?:have |with |full of )+maggots?\b"), " maggot inleaf "),
)  # fmt: skip
# What parts a saying into what was seen; also what is on top of a leaf from what is below.
PARTS = re.compile(
    r"\s*(?:[,;&+]|\band\b|\bwith\b|\b(?:on top|above)\b(?=.*\b(?:below|beneath|under\w*)\b))\s*"
)
# Two colours of one animal: yellow and black striped bugs. Not those of leaves before it: leaves
# yellow and black beetles.
_COLOUR = f"(?:{'|'.join(COLOURS)})"
_TWO_COLOURED = re.compile(
    rf"(?:\b(?P<before>\w+)\s+)?\b(?P<one>{_COLOUR})\s*(?:[,&]|\band\b)\s*(?P<other>{_COLOUR})\b"
    r"(?=(?:\s+\w+){0,2}?\s+(?:bugs?|beetles?|insects?|grubs?|worms?|caterpillars?|larvae?)\b)",
    re.IGNORECASE,
)
_JOINED = "~"
_OF_PLANTS = frozenset(
    re.findall(
        r"\w+",
        "leaf leaves stem stems fruit fruits plant plants tip tips edge edges root roots pods is "
        "are go going gone went turn turns turned turning",
    )
)


def parted(words: str) -> tuple[str, ...]:
    """What a saying names, part by part: fine webs and pale stippling."""
    whole = _TWO_COLOURED.sub(_one_animal, words.strip())
    return tuple(part.replace(_JOINED, " and ") for part in PARTS.split(whole) if part)


def _one_animal(two: re.Match[str]) -> str:
    """Two colours so joined that they are not parted, where they are an animal's."""
    before = two["before"] or ""
    if before.lower() in _OF_PLANTS:
        return two[0]
    return f"{before} {two['one']}{_JOINED}{two['other']}".strip()


@lru_cache(maxsize=8192)
def telling(words: str) -> Words:
    """The words of a saying that tell something, each by its stem."""
    said = words.lower().replace("_", " ")
    for way, read_as in SAID_AS:
        said = way.sub(read_as, said)
    plain = re.findall(r"[a-z]+", said)
    return frozenset(stem(w) for w in plain if w not in IDLE and len(w) > 1)


def stem(word: str) -> str:
    """A word without its ending: `curling`, `curled` and `curly` are one."""
    if word in TURNS:
        return word
    word = SAME.get(word, word)
    for ending in ("ies", "ing", "ed", "es", "s", "y"):
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            word = word.removesuffix(ending)
            break
    word = word.removesuffix("e") if len(word) > 3 else word
    doubled = len(word) > 3 and word[-1] == word[-2] and word[-1] not in "ls"
    doubled = doubled or (len(word) > 5 and word.endswith("ll"))  # tunnelling, shrivelled
    return SAME.get(word[:-1] if doubled else word, word[:-1] if doubled else word)
