"""What a page names where a sentence of the desk names a command: its reader has none."""

from __future__ import annotations

import re

# Patterns of what is said, and what stands on a page instead; the first that fits is taken.
INSTEAD: tuple[tuple[str, str], ...] = (
    (
        r"`lattermath log words` lists what is known\.",
        "The blank offers what is known.",
    ),
    (r"`lattermath look .+?` reads it,", "The page Look reads it,"),
    (r"`lattermath look .+?` asks which", "The page Look asks which"),
    (r"log that: lattermath log count .+\.$", "log that."),
    (r"`lattermath look .+?` weighs what it may be\.", "The page Look weighs what it may be."),
    (r"`lattermath look .+?` weighs it", "the page Look weighs it"),
    (r"by itself: lattermath log .+?, then the same of ", "by itself, each in an entry, also "),
    (r"`lattermath log words` lists the crops\.", "The blank offers the crops."),
    (
        r"(Write the highs and lows .+?) under \[\[week\]\] in plot\.toml, or take in a weather "
        r"file\.",
        r"\1 on the page This week's highs and lows, or send a weather file there.",
    ),
    (r"Change plot\.toml and run `lattermath start`\.", "Change it under Set up."),
    (r"this entry comes from plot\.toml", "this entry comes from what was set up"),
    (r"Give the number that `lattermath log` answered with\.", "The page Record numbers them."),
    (r"Take some away: lattermath phones --revoke NAME\.", "Take some away: they stand here."),
    (r"See `lattermath phones` for names and keys\.", "They stand on the page Phones."),
    (r"Write: lattermath log count [^ ]+ [^ ]+ [\d,]+\.", "Log it under Counted."),
    (
        r"If you know it is that: lattermath log count .+? [\d,]+\.",
        "If you know it is that: log it under Counted.",
    ),
    (
        r"If it is one of what is reckoned on it: lattermath log .+?\. ",
        "If it is one of what is reckoned on it, log it under Counted or Spots. ",
    ),
    (r"(it|what else you see) down \(lattermath log seen .+?\) and", r"\1 down under Seen, and"),
    (r"(, or note it): lattermath log seen .+\.$", r"\1 under Seen."),
    (r"To spare them: lattermath log seen .+\.$", "To spare them, log them under Seen."),
    (r"Say which: lattermath log count .+\.$", "Name the insect, and the stage in its blank."),
    (r"Give --flowers 10, or --leaves 10 and a side of leaves\.", "Give one of them."),
    (r"Write: lattermath log severity [^ ]+ [^ ]+ \d+\.", "Log it under Spots."),
    (r"take that back: lattermath log withdraw \w+\.", "take that back on the page Record."),
    (
        r"take it back: lattermath log withdraw \w+, or \w+\.",
        "take it back on the page Record.",
    ),
    (r"Write: lattermath log [^.]+\.", "Log it from the page Log, and say what was done."),
    (r"Run `lattermath plan`( first)?\.", "Open Next visit: a plan is made there."),
    (r"; see `lattermath plan`\.", "; see Next visit."),
    (r"logged as of flowers \(--surface flowers\)", "logged as looked at: flowers"),
)
COMMAND_WORDS = ("lattermath", "plot.toml", "(--")
_FITTING = tuple((re.compile(pattern), page) for pattern, page in INSTEAD)


def on_a_page(said: str) -> str:
    """The same words, with pages in place of commands."""
    if not any(word in said for word in COMMAND_WORDS):
        return said
    for pattern, page in _FITTING:
        said = pattern.sub(page, said)
    return said
