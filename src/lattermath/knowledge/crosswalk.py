"""One crosswalk of words: crop ids, host words, plain words, organisms, diseases and methods."""

from __future__ import annotations

import difflib
import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Any

from lattermath.knowledge.rows import Row
from lattermath.knowledge.word_numbers import found_in, parted_otherwise

SLIP = 0.8  # judgement: as alike as a slip of the pen leaves two words; potato and tomato: 0.67

SLIP_OF_ACTIVE = 0.92  # judgement: pyretrins is a slip, cypermethrin beside permethrin is none
NO_LETTERS = re.compile(r"[^a-z0-9]+")
ASIDE = re.compile(r"\([^)]*\)")  # what a name says in brackets


@dataclass(frozen=True, slots=True, eq=False)
class Crosswalk:
    """Resolves words to the ids of the tables. Every map is from tidied word to id."""

    crops: Mapping[str, str]
    organisms: Mapping[str, str]
    diseases: Mapping[str, str]
    methods: Mapping[str, str]
    hosts: Mapping[str, tuple[str, ...]]  # crop id -> host and group words, nearest first
    host_words: Mapping[str, str]  # any spelling of a host word -> the host word of the tables
    not_grown: frozenset[str]
    targets: Mapping[str, tuple[str, ...]]  # organism or disease id -> words of efficacy rows
    kinds: Mapping[str, tuple[str, ...]]  # kind -> the species it may be
    kind_words: Mapping[str, str]  # tidied word -> kind
    stand_ins: Mapping[str, str]  # name of a species without figures -> kind that stands in for it
    keeps_to: Mapping[str, tuple[str, ...]]  # such a name -> host words of all that it lives on
    called_on: Mapping[str, str]  # word -> such a name, on the hosts that it keeps to
    usual_on: Mapping[str, Mapping[str, str]]  # kind -> host word -> whom growers mean there
    enemies: Mapping[str, str]  # word -> natural enemy
    watched: Mapping[str, tuple[str, str]]  # word -> animal without a model, and what keeps it off
    sheet_names: Mapping[str, tuple[str, str]]  # crop id -> one, and many, as a sheet says it
    diagnosis_groups: Mapping[str, tuple[str, ...]]  # diagnosis group -> crop ids
    causes: Mapping[str, str]
    cause_joins: Mapping[str, tuple[str, ...]]  # cause id -> organism, disease or disorder ids
    cause_targets: Mapping[str, tuple[str, ...]]  # cause without a row -> words of efficacy rows
    symptoms: Mapping[str, str]  # also the words of checks
    sayings: Mapping[str, tuple[str, ...]]  # saying -> the symptoms it may mean, by crop
    sign_texts: Mapping[str, str]  # symptom or check id -> its own words
    check_signs: Mapping[str, tuple[str, ...]]  # check -> the symptoms that it looks at
    shown_only_on: Mapping[str, tuple[str, ...]]  # symptom -> crops and groups that can show it
    found_signs: Mapping[str, tuple[str, ...]]  # cause -> signs that a find of it has seen
    # What was looked up before: a plan asks for the notes of all its sightings, crop by crop.
    _stood_in: dict[str, str | None] = field(default_factory=dict, init=False, repr=False)

    def named(self, crop: str, count: float = 2) -> str:
        """A crop as a sheet says it: `courgettes`, or `courgette` for one."""
        one, many = self.sheet_names.get(crop, (crop.replace("_", " "),) * 2)
        return one if count == 1 else many

    def crop(self, word: str) -> str | None:
        """The crop id a word means: an id, a table name, a host or plain word, one or many."""
        key = tidy(word)
        singular = (key.removesuffix(ending) for ending in ("s", "es") if key.endswith(ending))
        return next((self.crops[one] for one in (key, *singular) if one in self.crops), None)

    def organism(self, word: str) -> str | None:
        """The organism id a word means."""
        return _found(self.organisms, word)

    def kind(self, word: str) -> str | None:
        """The kind a word means where it names no species with figures: `whitefly`, `aphid`.

        A species without figures of its own is of the kind that stands in for it: cabbage aphid.
        """
        return _found(self.kind_words, word) or self.stood_in(word)

    def stood_in(self, word: str) -> str | None:
        """The kind whose figures stand in for a species that has none of its own."""
        if word not in self._stood_in:
            self._stood_in[word] = _found(self.stand_ins, word)
        return self._stood_in[word]

    def lives_on(self, name: str, kind: str, crop: str) -> tuple[str, ...]:
        """Host words of all that an insect lives on, where it keeps to few; () where to none.

        name : of a species without figures of its own, or "" where only its kind was told.
        """
        nearest = self.hosts_of(crop)
        usual = self.usual_on.get(kind, {})
        meant = name or next((usual[word] for word in nearest if word in usual), "")
        kept = self.keeps_to.get(tidy(meant), ())
        return kept if any(word in kept for word in nearest) else ()

    def called_there(self, word: str, crop: str) -> str:
        """The species without figures that growers mean by a word on a crop; "" where none.

        Blackfly on beans is the black bean aphid; on nasturtiums or plums it is another.
        """
        name = found_in(self.called_on, tidy(word)) or ""
        kept = self.keeps_to.get(tidy(name), ())
        return name if any(host in kept for host in self.hosts_of(crop)) else ""

    def disease(self, word: str) -> str | None:
        """The disease id a word means."""
        return _found(self.diseases, word)

    def enemy(self, word: str) -> str | None:
        """The natural enemy a word means."""
        return found_in(self.enemies, tidy(word))

    def animal(self, word: str) -> tuple[str, str] | None:
        """The animal without a model that a word means, and what keeps it off."""
        return found_in(self.watched, tidy(word))

    def seen_as(self, word: str) -> str | None:
        """What a grower's word for something seen means: a kind, an organism, a disease, an enemy.

        The kind goes first: a grower who says whitefly has not said which.
        """
        return self.kind(word) or self.organism(word) or self.disease(word) or self.enemy(word)

    def method(self, word: str) -> str | None:
        """The method id a word means."""
        return self.methods.get(tidy(word))

    def active(self, word: str) -> str | None:
        """The method id of an active ingredient; its own words as an id where the tables lack it.

        Several in one product are one such id. None where the word has no letters, or is so near to
        a known one that it may be a slip of it.
        """
        if known := self.method(word):
            return known
        return None if self.nearly_active(word) else _as_id(word) or None

    def nearly_active(self, word: str) -> str:
        """The method's word that an active may be a slip of; "" where it is none."""
        near = difflib.get_close_matches(_as_id(word), self.methods, 1, SLIP_OF_ACTIVE)
        return near[0] if near else ""

    def cause(self, word: str) -> str | None:
        """The cause of the diagnosis key that a word means."""
        return found_in(self.causes, tidy(word))

    def symptom(self, word: str) -> str | None:
        """The symptom or check that a word means: its id, its own words or plain words."""
        return parted_otherwise(self.symptoms, tidy(word))

    def diagnosed_as(self, word: str) -> tuple[str, str] | None:
        """The diagnosis group, and the crop id or "", that a crop or group word means."""
        if word in self.diagnosis_groups:
            return word, ""
        crop = self.crop(word)
        groups = (g for g, crops in self.diagnosis_groups.items() if crop in crops)
        return next(((group, crop or "") for group in groups), None)

    def hosts_of(self, crop: str) -> tuple[str, ...]:
        """The host and group words that cover a crop id, nearest first; empty when unknown."""
        return self.hosts.get(crop, ())

    def host(self, word: str, among: Collection[str]) -> str | None:
        """The nearest of the host words `among` that covers a crop id, host word or plain word.

        None when nothing covers it: then the organism has no suitability for that host on record.
        """
        if word in among:
            return word
        host = self.host_words.get(tidy(word))
        if host in among:
            return host
        crop = self.crop(word)
        nearest = self.hosts_of(crop) if crop else ()
        if host and not crop:  # a group word: the nearest word of the first crop it covers
            nearest = next((words for words in self.hosts.values() if host in words), ())
        return next((h for h in nearest if h in among), None)

    def known(self, word: str) -> bool:
        """True when any table knows the word, also for plants that are not grown here."""
        key = tidy(word)
        return key in self.not_grown or any(key in names for names in self._all())

    def nearest(self, word: str, n: int = 3) -> tuple[str, ...]:
        """The known words most like this one, for the remedy of an error."""
        words = sorted({name for names in self._all() for name in names})
        return tuple(difflib.get_close_matches(tidy(word), words, n=n, cutoff=0.5))

    def nearest_crops(self, word: str, n: int = 3) -> tuple[str, ...]:
        """The known crop words that `word` is a slip of, the nearest of each crop; none where it is
        another word."""
        near = difflib.get_close_matches(tidy(word), sorted(self.crops), n=2 * n, cutoff=SLIP)
        nearest = {self.crops[found]: found for found in reversed(near)}
        told = [found for found in near if nearest[self.crops[found]] == found]
        return tuple(found.replace("_", " ") for found in told[:n])

    def nearest_seen(self, word: str, n: int = 3) -> tuple[str, ...]:
        """The known words for insects, mites and diseases that `word` is a slip of."""
        known = sorted({*self.organisms, *self.diseases})
        near = difflib.get_close_matches(tidy(word), known, n=n, cutoff=SLIP)
        return tuple(found.replace("_", " ") for found in near)

    def crop_names(self) -> tuple[str, ...]:
        """Every crop of the tables as a sheet says it, in order."""
        return tuple(sorted({self.named(crop, 1) for crop in self.crops.values()}, key=str.lower))

    def _all(self) -> tuple[Mapping[str, str], ...]:
        return (self.crops, self.organisms, self.diseases, self.methods, self.host_words)


def _as_id(word: str) -> str:
    return NO_LETTERS.sub("_", word.casefold()).strip("_")


def tidy(word: str) -> str:
    """A word in the form it is looked up by: lower case, words parted by one underscore."""
    return "_".join(word.lower().replace("_", " ").replace("-", " ").split())


def _found(names: Mapping[str, str], word: str) -> str | None:
    """What a word stands for, with or without what it says in brackets: early blight (tomato)."""
    return found_in(names, tidy(word)) or found_in(names, tidy(ASIDE.sub(" ", word)))


def read_crosswalk(raw: Mapping[str, Any], tables: Mapping[str, Mapping[str, Row]]) -> Crosswalk:
    """The crosswalk of these tables, rows added by overlays included."""
    hosts = {crop: tuple(words) for crop, words in raw["hosts"].items()}
    host_words = {tidy(word): word for words in hosts.values() for word in words}
    host_words |= {tidy(word): host for word, host in raw["host_synonyms"].items()}
    crops = _first_crops(hosts) | _names(tables["crops"]) | _plain(raw["crops"])
    crops |= {tidy(w): crops[tidy(h)] for w, h in raw["host_synonyms"].items() if tidy(h) in crops}
    told = {tidy(name): crop for crop, names in raw["sheet_names"].items() for name in names}
    crops = told | crops  # what a sheet calls a crop is understood
    return Crosswalk(
        crops=crops,
        organisms=_of_causes(raw, tables, "organisms")
        | _names(tables["organisms"])
        | _plain(raw["organisms"]),
        diseases=_of_causes(raw, tables, "diseases")
        | _names(tables["diseases"])
        | _plain(raw["diseases"]),
        methods=_names(tables["methods"]) | _plain(raw["methods"]),
        hosts=hosts,
        host_words=host_words,
        not_grown=frozenset(tidy(word) for word in raw["not_grown"]["words"]),
        targets={key: tuple(words) for key, words in raw["targets"].items()},
        kinds={kind: tuple(species) for kind, species in raw["kinds"].items()},
        kind_words=_plain(raw["kind_words"]),
        stand_ins=_plain(raw["stand_ins"]),
        keeps_to={tidy(name): tuple(words) for name, words in raw["keeps_to"].items()},
        called_on={tidy(w): name for name, words in raw["called_on"].items() for w in words},
        usual_on=raw["usual_on"],
        enemies=_enemies(tables),
        watched={
            tidy(word): (key.replace("_", " "), row.text("keeps_off"))
            for key, row in tables["watched"].items()
            for word in row.text("words").split(", ")
        },
        sheet_names={key: (one, many) for key, (one, many) in raw["sheet_names"].items()},
        diagnosis_groups={key: tuple(crops) for key, crops in raw["diagnosis_groups"].items()},
        causes=_names(tables["causes"]),
        cause_joins={key: tuple(ids) for key, ids in raw["cause_joins"].items()},
        cause_targets={key: tuple(words) for key, words in raw["cause_targets"].items()},
        symptoms=_signs(tables)
        | _plain({w: one for w, one in raw["symptom_words"].items() if isinstance(one, str)}),
        sayings={
            tidy(w): tuple(many)
            for w, many in raw["symptom_words"].items()
            if not isinstance(many, str)
        },
        check_signs={key: tuple(signs) for key, signs in raw["check_signs"].items()},
        shown_only_on={key: tuple(on) for key, on in raw["shown_only_on"].items()},
        found_signs={key: tuple(signs) for key, signs in raw["found_signs"].items()},
        sign_texts={key: row.text("text") for key, row in tables["symptoms"].items()}
        | {key: row.text("action") for key, row in tables["checks"].items()},
    )


def _enemies(tables: Mapping[str, Mapping[str, Row]]) -> dict[str, str]:
    """Every word of a natural enemy, and its id."""
    return {
        tidy(word): key
        for key, row in tables["enemies"].items()
        for word in (key, *row.text("words").split(", "))
    }


def _first_crops(hosts: Mapping[str, tuple[str, ...]]) -> dict[str, str]:
    """A host word that is the nearest word of exactly one crop means that crop."""
    firsts = [(tidy(words[0]), crop) for crop, words in hosts.items()]
    words = [word for word, _ in firsts]
    return {word: crop for word, crop in firsts if words.count(word) == 1}


def _names(rows: Mapping[str, Row]) -> dict[str, str]:
    named = {tidy(row.words("name")): key for key, row in rows.items() if row.words("name")}
    latin = {tidy(row.words("latin")): key for key, row in rows.items() if row.words("latin")}
    once = [row.words("latin") for row in rows.values()]
    latin = {w: k for w, k in latin.items() if once.count(rows[k].words("latin")) == 1}
    return latin | named | {tidy(key): key for key in rows}


def _of_causes(
    raw: Mapping[str, Any], tables: Mapping[str, Mapping[str, Row]], room: str
) -> dict[str, str]:
    """The names by which a look tells a cause, for the one organism or disease joined to it.

    Not one that several have once what they say in brackets is left out: downy mildew.
    """
    named: dict[str, set[str]] = {}
    for cause, ids in raw["cause_joins"].items():
        name = tables["causes"][cause].text("name")
        for word in {tidy(name), tidy(ASIDE.sub(" ", name))}:
            named.setdefault(word, set()).update(ids)
    one = {word: next(iter(ids)) for word, ids in named.items() if len(ids) == 1}
    return {word: key for word, key in one.items() if key in tables[room]}


def _signs(tables: Mapping[str, Mapping[str, Row]]) -> dict[str, str]:
    said = {tidy(row.words("text")): key for key, row in tables["symptoms"].items()}
    return said | {tidy(key): key for name in ("symptoms", "checks") for key in tables[name]}


def _plain(words: Mapping[str, str]) -> dict[str, str]:
    return {tidy(word): key for word, key in words.items()}
