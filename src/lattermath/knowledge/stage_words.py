"""What growers call the stages of an insect or mite."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

# What growers call several stages together, and how those begin in the tables.
STAGE_WORDS: Mapping[str, tuple[str, ...]] = {
    "scale": ("nymph2", "nymph3", "nymph4"),
    "scales": ("nymph2", "nymph3", "nymph4"),
    "pale_scales": ("nymph2", "nymph3", "nymph4"),
    "pupa": ("nymph4", "pupa"),
    "pupae": ("nymph4", "pupa"),
    "eggs": ("egg",),
    "nymphs": ("nymph",),
    "larvae": ("larva",),
    "adults": ("adult",),
    "flies": ("adult",),
    "young": ("nymph", "larva"),
}

# A stage of the tables as it is said to growers.
STAGES_SAID: Mapping[str, str] = {
    "nymph": "young",
    "nymph1": "1st young stage",
    "nymph2": "2nd young stage",
    "nymph3": "3rd young stage",
    "nymph4": "4th young stage",
    "nymph4_pupa": "pupa (4th young stage)",
    "nymph4_redeye": "pupa (4th young stage)",
}


def named_stages(word: str, stages: Sequence[str]) -> tuple[str, ...]:
    """The stages of an organism that a grower's word names; none where it names none."""
    key = word.strip().lower().replace(" ", "_")
    starts = STAGE_WORDS.get(key, (key,) if key else ())
    return tuple(stage for stage in stages if starts and stage.startswith(starts))


def stage_words(stages: Sequence[str]) -> tuple[str, ...]:
    """Plain words with which stages may be named, for the remedy of an error.

    Scales, pupae and flies are said of those only that have pupae: no aphid has any. The stages
    themselves follow, without what their id says of them beside.
    """
    pupate = any("pupa" in stage or "redeye" in stage for stage in stages)
    scaly = pupate and any(stage.startswith("nymph") for stage in stages)
    left_out = {
        *(() if scaly else ("scale", "scales", "pale_scales")),
        *(() if pupate else ("pupa", "pupae", "flies")),
    }
    words = (word for word in STAGE_WORDS if word not in left_out and named_stages(word, stages))
    plain = (stage.partition("_")[0] for stage in stages)
    return tuple(dict.fromkeys((*(word.replace("_", " ") for word in words), *plain)))


def stage_said(stage: str) -> str:
    """A stage of an insect in plain words."""
    return STAGES_SAID.get(stage, stage.replace("_", " "))
