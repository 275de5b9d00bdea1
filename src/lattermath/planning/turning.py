"""What would change this: the nearest value of one input at which a choice turns."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from lattermath.planning.common_draws import on_few
from lattermath.planning.course_task import Found, Step, Task, cost_in_draws
from lattermath.planning.keep_or_replace import Weighed, best, word_of
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.measure import roughly
from lattermath.vocabulary.plan import Turn, Verdict_
from lattermath.vocabulary.plot import Vigour
from lattermath.vocabulary.ruling import Because

MOST_HOUR = 4.0  # judgement: times the price of an hour; beyond it nobody would have a plot
MOST_SHIFT_DAYS = 28  # judgement: a frost or an age further off is another season
STEP_DAYS = 14  # judgement: what turns and turns back within it may be passed over
MOST_TIMES = 20.0  # judgement: a number so many times what is believed is another infestation
TURN_WITHIN = 0.02
NEXT_TIMES = 1.2
PRICE_STEPS = 4  # on each side of the price of an hour
VIGOURS: tuple[Vigour, ...] = ("sound", "tired", "worn", "failing")
HOUR, FROST, AGE, VIGOUR, COUNT = (
    "price of an hour", "first frost", "age", "vigour", "number",
)  # fmt: skip
RESTS_ON = ("computed:the same draws with one input moved",)
CLOSE = Because(
    "a close call: next to nothing would turn it, and a plan made anew may have it otherwise",
    rests_on=RESTS_ON,
)

Says = Callable[[int], Verdict_]  # the verdict with an input moved by so many steps


def hour_turn(weighed: Sequence[Weighed], price: float) -> Turn:
    """The price of an hour at which another verdict has the highest mean worth. [portions]

    Exact: each fate's mean worth falls with the price by its hours, and the best is followed from
    one crossing to the next, towards 0 and towards four times the price. The nearer is given.
    """
    sides = [_followed(weighed, price, end) for end in (0.0, MOST_HOUR * price)]
    found = [one for one in sides if one is not None]
    at, verdict = min(found, key=lambda one: abs(one[0] - price), default=(None, ""))
    return Turn(HOUR, price, at, "portions", 0.0, MOST_HOUR * price, verdict)


def price_turn(price: float, says: Callable[[float], Verdict_]) -> Turn:
    """The price of an hour nearest to this one with another verdict, from 0 to four times it.

    Quarters of the way to either end are tried and the first that turns is narrowed down by halves,
    to one in fifty of a price: where a verdict turns once on a side it is found.
    """
    base, ends, found = says(price), (0.0, MOST_HOUR * price), []
    for end in ends:
        same = price
        for n in range(1, PRICE_STEPS + 1):
            other = price + (end - price) * n / PRICE_STEPS
            if (word := says(other)) != base:
                while abs(other - same) > TURN_WITHIN * price:
                    middle = (same + other) / 2
                    if (between := says(middle)) == base:
                        same = middle
                    else:
                        other, word = middle, between
                found.append((other, word))
                break
            same = other
    at, verdict = min(found, key=lambda one: abs(one[0] - price), default=(None, ""))
    return Turn(HOUR, price, at, "portions", *ends, verdict)


def bare_turn(weighed: Sequence[Weighed], price: float, bare: str) -> Turn:
    """The price of an hour from which nothing that could go into bare ground pays. [portions]

    Exact: each mean worth falls with the price by its hours, and the last to reach nothing is told.
    bare : what is done then, in words.
    """
    most = MOST_HOUR * price
    ends = [
        price + one.mean * 60 / one.outlook.minutes if one.outlook.minutes > 0 else float("inf")
        for one in weighed
        if one.mean > 0
    ]
    at = max(ends, default=price)
    if at > most:
        return Turn(HOUR, price, None, "portions", 0.0, most)
    return Turn(HOUR, price, at, "portions", 0.0, most, bare)


def _followed(weighed: Sequence[Weighed], price: float, end: float) -> tuple[float, str] | None:
    """The first crossing between a price and an end at which the verdict is another."""
    up = end > price
    top, here = best(weighed), price
    word = word_of(top.outlook)
    while True:
        crossings = []
        for other in weighed:
            # Worth falls by hours; what has fewer gains on the way up, and the other way down.
            gains = (top.outlook.minutes - other.outlook.minutes) / 60 * (1 if up else -1)
            if gains > 0:
                behind = _worth(top, price, here) - _worth(other, price, here)
                crossings.append((max(behind, 0.0) / gains, -gains, other))
        if not crossings:
            return None
        away, _, top = min(crossings, key=lambda one: one[:2])
        here = here + away if up else here - away
        if (here > end) if up else (here < end):
            return None
        if word_of(top.outlook) != word:
            return here, word_of(top.outlook)


def _worth(one: Weighed, price: float, at: float) -> float:
    return one.mean - (at - price) * one.outlook.minutes / 60


def shift_turn(name: str, now: float, says: Says, unit: str = "days") -> Turn:
    """The fewest days, earlier or later, by which an input moved gives another verdict.

    A fortnight's steps are tried outwards, either way, and the first that turns is narrowed down by
    halves: exact where the verdict turns once on each side. Of two as near the earlier is told.
    """
    base, same = says(0), 0
    nearest: tuple[int, Verdict_] | None = None
    for days in range(STEP_DAYS, MOST_SHIFT_DAYS + 1, STEP_DAYS):
        turned = [(way, word) for way in (-1, 1) if (word := says(way * days)) != base]
        found = [_narrowed(says, way, same, days, word, base) for way, word in turned]
        nearest = min(found, key=lambda one: abs(one[0]), default=None)
        if nearest is not None:  # whatever turns further out is further off
            break
        same = days
    least, most = now - MOST_SHIFT_DAYS, now + MOST_SHIFT_DAYS
    if nearest is None:
        return Turn(name, now, None, unit, least, most)
    return Turn(name, now, now + nearest[0], unit, least, most, nearest[1])


def _narrowed(
    says: Says, way: int, same: int, other: int, word: Verdict_, base: Verdict_
) -> tuple[int, Verdict_]:
    while other - same > 1:
        middle = (same + other) // 2
        found = says(way * middle)
        if found == base:
            same = middle
        else:
            other, word = middle, found
    return way * other, word


def ends_first(says: Says) -> Says:
    """The same answers, asked at the far ends first: where these are as now, all between are."""
    ends = {way: says(way * MOST_SHIFT_DAYS) for way in (-1, 1)}
    base = says(0)

    def asked(days: int) -> Verdict_:
        if days == 0 or ends[-1 if days < 0 else 1] == base:
            return base
        return says(days)

    return asked


def vigour_turn(now: Vigour, says: Callable[[Vigour], Verdict_]) -> Turn:
    """The nearest other vigour with another verdict; the better of two as near."""
    place, base = VIGOURS.index(now), says(now)
    others = sorted(VIGOURS, key=lambda one: (abs(VIGOURS.index(one) - place), VIGOURS.index(one)))
    last = float(len(VIGOURS) - 1)
    for other in others[1:]:
        if (word := says(other)) != base:
            at = float(VIGOURS.index(other))
            return Turn(VIGOUR, place, at, "", 0.0, last, word, now, other)
    return Turn(VIGOUR, place, None, "", 0.0, last, "", now)


def count_turn(found: Found, times: float | None, number: float, unit: str) -> Turn | None:
    """The number today at which a course begins or ceases to pay; None where there is no course.

    times  : by how much today's numbers would be multiplied (`times_that_turn`).
    number : what is believed today on the worst planting, in `unit`.
    """
    if rival_of(found) is None:
        return None
    turn = Turn(COUNT, number, None, unit, number / MOST_TIMES, number * MOST_TIMES)
    if times is None:
        return turn
    would = "no treatment" if found.steps else "treatment"
    return Turn(COUNT, number, number * times, unit, turn.least, turn.most, would)


def rival_of(found: Found) -> tuple[Step, ...] | None:
    """The course that is weighed against doing nothing: the one found, or the next best."""
    return found.steps or next((one.steps for one in found.alternatives if one.steps), None)


def times_that_turn(task: Task, found: Found) -> float | None:
    """By how much the numbers of today are multiplied where the course just pays.

    With a course found: below this it costs more than it saves; without one: from this on the next
    best would pay. Both courses are run on a few common draws with so many more or fewer insects
    today, crowding counted; what flies in stays. The crossing is narrowed down by halves, on a
    scale of ratios, to one in fifty. None where nothing from a twentieth to twenty times turns it.
    Where all is lost with a course and without, it saves nothing again; the first gain is told.
    """
    steps = rival_of(found)
    if steps is None:
        return None
    besides = task.saved_besides(steps)

    def saves(task: Task, times: float) -> float:
        belief = task.belief
        asked = replace(task, belief=replace(belief, state=belief.state * times))
        gains = cost_in_draws(asked, ()) - cost_in_draws(asked, steps)
        return float(gains.mean()) + besides

    few = on_few(task)
    guess = where_it_pays(lambda times: saves(few, times), below=bool(found.steps))
    return None if guess is None else pays_near(lambda times: saves(task, times), guess)


def pays_near(saves: Callable[[float], float], guess: float) -> float | None:
    """As `where_it_pays`, from a guess: steps of a fifth, and a straight line between two."""
    low = high = guess
    loss = gain = saves(guess)
    while loss > 0 and low > 1 / MOST_TIMES:
        high, gain = low, loss
        low = max(low / NEXT_TIMES, 1 / MOST_TIMES)
        loss = saves(low)
    while gain <= 0 and high < MOST_TIMES:
        low, loss = high, gain
        high = min(high * NEXT_TIMES, MOST_TIMES)
        gain = saves(high)
    if loss > 0 or gain <= 0:
        return None
    return float(low * (high / low) ** (loss / (loss - gain)))


def where_it_pays(saves: Callable[[float], float], *, below: bool) -> float | None:
    """By how much what is there is multiplied where a course begins to save; None: nowhere.

    saves : what the course saves of the cost of doing nothing, by that factor. [portions]
    below : it saves at what is there already, and less of it is asked about.
    """
    bounds = _first_gain(saves, below=below)
    if bounds is None:
        return None
    low, high = bounds
    while high / low > 1 + TURN_WITHIN:
        middle = float((low * high) ** 0.5)
        if saves(middle) > 0:
            high = middle
        else:
            low = middle
    return float((low * high) ** 0.5)


def _first_gain(saves: Callable[[float], float], *, below: bool) -> tuple[float, float] | None:
    """Times between which a course begins to save something; None where it never does.

    below : it saves at the numbers of today already, and is asked about fewer.
    """
    if below:
        return None if saves(1 / MOST_TIMES) > 0 or saves(1.0) <= 0 else (1 / MOST_TIMES, 1.0)
    low = 1.0
    for high in (*(2.0**n for n in range(1, 5)), MOST_TIMES):
        if saves(high) > 0:
            return low, high
        low = high
    return None


def reasons(turns: Sequence[Turn], frost: str = "") -> tuple[Because, ...]:
    """Each input that turns the choice as a reason, the nearest first, and what does not, in one.

    frost : the usual first frost, in words.
    """
    told = [one for one in turns if one.at is not None]
    says = [f"{_turning(one, frost)}, all else as it is" for one in told]
    still = [_still(one) for one in turns if one.at is None]
    if still:
        says.append(f"nothing within reason turns it in {', nor in '.join(still)}")
    return tuple(Because(one, rests_on=RESTS_ON) for one in says)


def _turning(one: Turn, frost: str) -> str:
    to = f"it would turn to {one.turns_to}"
    apart = (one.at or 0.0) - one.now
    days = counted(f"{abs(apart):.0f}", "days")
    if one.input == HOUR:
        way = "above" if apart > 0 else "below"
        at = roughly(one.at or 0.0, 3)
        return f"{to} with an hour's work worth {way} {counted(at, 'portions')} (now {one.now:g})"
    if one.input == FROST:
        usual = f" than about {frost}" if frost else ""
        return f"{to} with a first frost {days} {'later' if apart > 0 else 'earlier'}{usual}"
    if one.input == AGE:
        return f"{to} were it {days} {'older' if apart > 0 else 'younger'}"
    if one.input == VIGOUR:
        return f"{to} were it {one.at_word} and not {one.word}"
    way = "from" if apart > 0 else "below"
    return f"{to} {way} about {roughly(one.at or 0.0)} {one.unit} (now about {roughly(one.now)})"


def _still(one: Turn) -> str:
    if one.input == HOUR:
        return f"the price of an hour (up to {counted(one.most, 'portions')})"
    if one.input == FROST:
        return f"the first frost (up to {MOST_SHIFT_DAYS} days either way)"
    if one.input == AGE:
        return f"its age (up to {MOST_SHIFT_DAYS} days either way)"
    if one.input == VIGOUR:
        return "its vigour"
    return f"the number (from {roughly(one.least)} to {roughly(one.most)} {one.unit})"
