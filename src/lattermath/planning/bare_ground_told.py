"""What bare ground may still carry, thing by thing, and what to do with it where nothing pays."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date

from lattermath.belief.crop_reckoning import last_planting_of
from lattermath.belief.crop_traits import CropTraits, Start
from lattermath.planning.fates import Choices, FateOutlook
from lattermath.planning.keep_or_replace import Table, Weighed, span, weigh
from lattermath.planning.new_plants import told_at
from lattermath.planning.season_left import comes_up, gap_crops, usual_frost, weeks_to_frost
from lattermath.vocabulary.bare_ground import BareGround, MayCarry
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.errors import LattermathError
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plot import SeedPacket
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import capital

PLENTY = 500  # seeds, for what is weighed as if the tin held it
GREEN_MANURE_WEEKS = 4.0  # row `0-4 weeks` of the gap fillers, its note
LEAST_SAID_KG = 0.05  # judgement: below this it is called hardly anything
PRACTICE = ("computed:common practice",)


def ground_told(
    choices: Choices,
    table: Table,
    *,
    filled: bool,
    whole: bool = True,
    spring: Sequence[Because] = (),
) -> BareGround:
    """What one bare bed may carry from the next visit on, and what is advised.

    Crops of the list for the weeks left to frost are weighed too where the tin lacks them.

    filled : something goes in there, and a verdict says so.
    whole  : the bed is bare; else the part of it that its plantings leave, by the spacing.
    spring : what must not follow there next spring.
    """
    ground, planting = choices.ground, choices.belief.planting
    weighed = _weighed(choices, table)
    found = [_carried(choices, one) for one in weighed]
    found += list(_cups_not_offered(choices, {one.outlook.lot for one in weighed}))
    found += list(_not_offered(choices, {one.outlook.crop for one in weighed}))
    found += list(_without_a_crop(choices))
    alike = after = says = ""
    if not filled:
        closed = _nobody_may_enter(choices)
        what = "Nobody works there before." if closed else _instead(choices, found)
        alike = f"{_why_not(choices, found)} {what}"
        after = "" if closed else " ".join(capital(reason.says) + "." for reason in spring)
        says = " ".join(part for part in (_head(choices, whole), alike, after) if part)
    bar = () if ground.bar is None else (ground.bar,)
    bed, area = planting.bed or planting.key, round(ground.area_m2, 2)
    because = (*bar, *spring)
    return BareGround(bed, area, whole, filled, says, tuple(found), because, alike, after)


def _head(choices: Choices, whole: bool) -> str:
    name = capital(choices.ground.name)
    if whole:
        return f"{name}: bare."
    area = measure(round(choices.ground.area_m2, 1), "m2")
    return f"{name}: about {area} of it is bare, by the spacing of the tables."


def _weighed(choices: Choices, table: Table) -> list[Weighed]:
    """Everything from cups and tin, and from the list for the weeks left as if it were there."""
    if not choices.visits:
        return []
    held = {packet.crop for packet in choices.packets if packet.seeds > 0}
    fillers, _ = gap_crops(choices.season)
    lacking = tuple(SeedPacket(crop, PLENTY) for crop in fillers if crop not in held)
    asked = replace(choices, packets=(*choices.packets, *lacking))
    outlooks = told_at(asked, choices.visits[0])
    return sorted(weigh(outlooks, asked, table), key=lambda one: -one.mean)


def _carried(choices: Choices, one: Weighed) -> MayCarry:
    outlook, season = one.outlook, choices.season
    held = outlook.lot is not None or any(
        packet.crop == outlook.crop and packet.seeds > 0 for packet in choices.packets
    )
    start: Start = "sown" if outlook.lot is None else "set out"
    return MayCarry(
        "sow" if outlook.lot is None else "set out",
        outlook.crop,
        outlook.says if held else f"{outlook.says} (no seed in the tin)",
        _named(choices, outlook, held),
        one.mean > 0 and all(reason.holds for reason in outlook.reasons),
        span(outlook.kg(), "kg"),
        span(one.value, "portions"),
        _latest(choices, season.traits(outlook.crop), start),
        held,
        outlook.reasons,
    )


def _named(choices: Choices, outlook: FateOutlook, held: bool) -> str:
    traits = choices.season.traits(outlook.crop)
    if outlook.lot is not None:
        return f"{traits.counted(outlook.plants)} from cups"
    marks = [
        *([] if held else ["no seed"]),
        *(["soil untested"] if _untested(choices, outlook.crop) else []),
    ]
    return f"{traits.many} ({', '.join(marks)})" if marks else traits.many


def _untested(choices: Choices, crop: str) -> str:
    """In what soil nobody tested a crop that would be sown now; "" where somebody did."""
    return comes_up(crop, choices.season, choices.visits[0]).untested


def _latest(choices: Choices, traits: CropTraits, start: Start) -> date | None:
    """The last day that usually pays here; None where no frost comes or no days are known."""
    season, frost = choices.season, usual_frost(choices.season)
    if frost >= season.weather.n_days:
        return None
    try:
        days = traits.growth_need(start).days[0]
    except LattermathError:
        return None
    return season.weather.day(int(last_planting_of(traits, start, frost, days).day))


def _cups_not_offered(choices: Choices, offered: set[str | None]) -> Iterator[MayCarry]:
    """Lots that cannot go out there, each with what stands against it."""
    season = choices.season
    for lot in choices.lots:
        if lot.lot.key in offered or lot.lot.plants < 1:
            continue
        suits = choices.ground.suits(lot.traits)
        rests = (f"plot:lot/{lot.lot.key}", f"table:{lot.nursery.address}")
        if not suits.holds:
            reason = suits
        elif not any(visit >= lot.ready_column() for visit in choices.visits):
            reason = Because("not ready before the season ends", False, rests_on=rests)
        elif lot.traits.spacing_m[0] * lot.traits.spacing_m[1] > 2 * choices.ground.area_m2:
            reason = Because("there is no room for one", False, rests_on=rests[:1])
        else:
            words = "nobody comes often enough to water them in their first two weeks"
            reason = Because(words, False, rests_on=("plot:visiting",))
        latest = _latest(choices, season.traits(lot.lot.crop), "set out")
        words = f"{lot.traits.counted(lot.lot.plants)} in cups: {reason.says}"
        name = f"{lot.traits.counted(lot.lot.plants)} in cups"
        yield MayCarry(
            "set out", lot.lot.crop, words, name, False, latest=latest, because=(reason,)
        )


def _not_offered(choices: Choices, offered: set[str]) -> Iterator[MayCarry]:
    """Crops of the tin that cannot be begun there now, each with what stands against it."""
    for packet in choices.packets:
        if packet.seeds < 1 or packet.crop in offered or not choices.visits:
            continue
        traits = choices.season.traits(packet.crop).with_packet(packet.days_to_maturity)
        latest = _latest(choices, traits, "sown") if traits.from_sowing is not None else None
        reason = _against(choices, traits, latest)
        if reason is not None:
            words = f"{traits.many}: {reason.says}"
            name = words if latest is None else traits.many
            yield MayCarry("sow", packet.crop, words, name, False, latest=latest, because=(reason,))


def _against(choices: Choices, traits: CropTraits, latest: date | None) -> Because | None:
    season, visit = choices.season, choices.visits[0]
    suits = choices.ground.suits(traits)
    if not suits.holds:
        return suits
    if traits.establish == "transplant" or traits.from_sowing is None:
        table = (f"table:crops/{traits.crop}/establish",)
        return Because("raised in cups first", False, rests_on=table)
    if latest is not None and latest < choices.day(visit):
        rests = (f"table:{traits.growth_need('sown').address}", "computed:first frost")
        return Because(f"the last useful sowing was about {said(latest)}", False, rests_on=rests)
    if comes_up(traits.crop, season, visit).high <= 0:
        return Because(
            "none comes up in soil as it will be", False, rests_on=("computed:soil warmth",)
        )
    return None


def _without_a_crop(choices: Choices) -> Iterator[MayCarry]:
    """What may lie on it instead: mulch, green manure where the table names it, or nothing."""
    mulch = Because("mulch keeps weeds down and rain from washing the soil out", rests_on=PRACTICE)
    yield MayCarry("cover", "", "mulch, or a sheet pegged down", "mulch", True, because=(mulch,))
    if weeks_to_frost(choices.season) < GREEN_MANURE_WEEKS:
        row = "table:gap_fillers/0-4 weeks/note"
        manure = Because("so near to frost green manure takes the ground", rests_on=(row,))
        words = "green manure, of a kind that stands your winter"
        yield MayCarry("sow", "", words, "green manure", True, held=False, because=(manure,))
    yield MayCarry("rest", "", "nothing: hoe what comes up before it seeds", "rest", True)


def _nobody_may_enter(choices: Choices) -> bool:
    """Does re-entry bar the ground, so that not even mulch is laid? Plant-back bars plants only."""
    bar = choices.ground.bar
    return bar is not None and not bar.holds and "rule:plant_back" not in bar.rests_on


def _why_not(choices: Choices, found: Sequence[MayCarry]) -> str:
    """Why nothing goes in now, in a sentence or two."""
    ground = choices.ground
    if ground.bar is not None and not ground.bar.holds:
        return f"Nothing may be planted yet: {ground.bar.says}."
    if not choices.visits:
        return "No visit is planned."
    held = [one for one in found if one.crop and one.held]
    told = sorted((one for one in held if one.kg is not None), key=lambda one: not one.pays)
    best = next(iter(told), None)
    bar = None if best is None else next((one for one in best.because if not one.holds), None)
    if best is not None and bar is not None:
        return f"Nothing begun now pays: {_gives(choices, best)}, but {bar.says}."
    if best is not None and best.pays:
        return f"{capital(_gives(choices, best))}."
    if best is not None:
        ends = "than its work is worth"
        late = _too_late(choices, held)
        return f"Nothing begun now pays: {_gives(choices, best)}, less {ends}{late}."
    if held:
        return f"Nothing in hand goes in now: {'; '.join(one.says for one in held[:3])}."
    lacking = next((one for one in found if one.kg is not None), None)
    if lacking is not None and lacking.pays:
        return "No cups wait for it, and the tin holds nothing for it."
    if lacking is not None:
        crops = [one for one in found if one.crop]
        why = f"{_gives(choices, lacking)}{_too_late(choices, crops, 'the list')}"
        return f"Nothing is in hand for it, and nothing pays any more: {why}."
    return "Nothing can be begun there: nobody comes often enough to water it, or it is too late."


def _gives(choices: Choices, one: MayCarry) -> str:
    """What something begun now bears there, as a clause."""
    assert one.kg is not None
    low, high = round(one.kg.low, 1), round(one.kg.high, 1)
    most = measure(high, "kg")
    gives = f"{measure(low, 'kg')} to {most}" if low else f"up to {most}"
    if one.kg.high < LEAST_SAID_KG:
        gives = "hardly anything"
    many = choices.season.traits(one.crop).many
    begun = f"{many} sown now{_if_untested(choices, one)}" if one.use == "sow" else one.says
    if one.use == "set out" and one.kg.high < LEAST_SAID_KG:  # how many there is room for is idle
        begun = f"{many} from the cups now"
    return f"{begun} would give {gives} to the end of the season"


def _too_late(choices: Choices, held: Sequence[MayCarry], among: str = "what is in hand") -> str:
    """Which of these could be begun last, and until when; nothing where days are left."""
    days = [(one.latest, one.crop) for one in held if one.latest is not None]
    latest = max(days, default=None)
    if latest is None or latest[0] >= choices.day(choices.visits[0]):
        return ""
    many = choices.season.traits(latest[1]).many
    return f"; the last useful day for any of {among} was about {said(latest[0])}, for {many}"


def _instead(choices: Choices, found: Sequence[MayCarry]) -> str:
    """What to do with it: seed that would still pay, else mulch or rest."""
    lacking = next((one for one in found if one.crop and not one.held and one.pays), None)
    ways = [one.says for one in found if not one.crop and one.use != "rest"]
    rest = f"Lay {ways[0]}" if len(ways) == 1 else f"Lay {ways[0]}; or sow {ways[1]}"
    rest = f"{rest}; or let it rest."
    if lacking is None or lacking.kg is None or not choices.visits:
        return rest
    name = choices.season.traits(lacking.crop).many
    by = "" if lacking.latest is None else f", sown by about {said(lacking.latest)}"
    gives = f"about {measure(round(lacking.kg.median, 1), 'kg')}"
    untested = _if_untested(choices, lacking)
    return f"With seed of {name} it would still give {gives}{by}{untested}. {rest}"


def _if_untested(choices: Choices, one: MayCarry) -> str:
    untested = _untested(choices, one.crop)
    return f" (not tested {untested})" if untested else ""
