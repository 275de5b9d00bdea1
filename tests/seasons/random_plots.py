"""Plots thrown at random: whatever a grower may write, the audit lets the plan pass."""

from __future__ import annotations

import random
from datetime import date, datetime, timedelta
from pathlib import Path

from lattermath.desk.log_visit import log
from lattermath.desk.start import start
from lattermath.desk.take_weather import take
from lattermath.vocabulary.events import Payload, Picking, Sighting, Treatment, Watering

CROPS = ["courgette", "cucumber", "tomato", "aubergine", "melon", "climbing bean", "dwarf bean"]
CROPS += ["chard", "kale", "basil", "lettuce", "broccoli", "sweet pepper", "carrot", "okra"]
ACTIVES = ["soap", "neem_oil", "sulfur", "pyrethrins", "potassium_bicarbonate", "spinosad"]
WEATHER = Path(__file__).parents[2] / "src" / "lattermath" / "demo" / "champion.csv"
ZONE = "America/Denver"


def plot_file(dice: random.Random, today: date) -> str:
    """The text of one plot file."""
    parts = [PLACE.format(year=today.year)]
    names = dice.sample(CROPS, dice.randint(1, 5))
    for n, crop in enumerate(names):
        own = dice.random() < 0.7
        parts.append(_bed(n) if own else "")
        parts.append(_planting(dice, n, crop, today, own))
    if dice.random() < 0.5:
        parts.append(_bed(9))
    if dice.random() < 0.4:
        parts.append(f'[[neighbour]]\ncrop = "{dice.choice(CROPS)}"\ndistance_m = 2.0\n')
    for n in range(dice.randint(0, 2)):
        parts.append(_lot(dice, n, today))
    for n, active in enumerate(dice.sample(ACTIVES, dice.randint(0, 3))):
        parts.append(_product(dice, n, active, names))
    parts.append(_rules(dice))
    return "\n".join(parts)


PLACE = """format = 1
season = {year}
[place]
name = "Somewhere"
latitude = 40.4
longitude = -101.7
time_zone = "America/Denver"
usual_first_frost = "09-28"
country = "invented"
"""


def _bed(n: int) -> str:
    return (
        f'[[bed]]\nkey = "bed{n}"\nname = "bed {n}"\nx_m = 0.0\ny_m = {n * 1.5}\n'
        "length_m = 3.0\nwidth_m = 1.0\n"
    )


def _planting(dice: random.Random, n: int, crop: str, today: date, own: bool) -> str:
    began = today - timedelta(days=dice.randint(5, 80))
    how = dice.choice(["sown", "set_out"])
    bed = f'bed = "bed{n}"\n' if own else ""
    bloom = dice.choice(["", "in_bloom = true\n", "in_bloom = false\n"])
    wilted = "wilted = true\n" if dice.random() < 0.2 else ""
    vigour = dice.choice(["sound", "tired", "worn", "failing"])
    return (
        f'[[planting]]\nkey = "p{n}"\nname = "Planting {n}"\ncrop = "{crop}"\n'
        f"plants = {dice.randint(1, 12)}\n{how} = {began}\n"
        f'vigour = "{vigour}"\n{bed}{bloom}{wilted}'
    )


def _lot(dice: random.Random, n: int, today: date) -> str:
    sown = today - timedelta(days=dice.randint(2, 30))
    crop = dice.choice(["courgette", "cucumber", "chard", "kale", "lettuce"])
    return (
        f'[[lot]]\nkey = "lot{n}"\ncrop = "{crop}"\nplants = {dice.randint(0, 8)}\nsown = {sown}\n'
    )


def _line(dice: random.Random, name: str, values: list[object]) -> str:
    kind = dice.random()
    if kind < 0.15:
        return ""
    return f'{name} = "none"\n' if kind < 0.3 else f"{name} = {dice.choice(values)}\n"


def _product(dice: random.Random, n: int, active: str, crops: list[str]) -> str:
    text = f'[[shelf]]\nkey = "product{n}"\nname = "Product {n}"\nactive = "{active}"\n'
    text += f'country = "{dice.choice(["invented", "invented", ""])}"\ninvented = true\n'
    text += "sold_to_amateurs = true\n" if dice.random() < 0.85 else ""
    text += _line(dice, "re_entry_hours", [0, 4, 24])
    text += _line(dice, "max_temperature_c", [25, 30])
    text += _line(dice, "rain_free_hours", [2, 6])
    text += _line(dice, "max_wind_m_s", [4])
    text += _line(dice, "sulfur_oil_gap_days", [14, 21])
    text += _line(dice, "consecutive_max", [1, 2, 3])
    text += _line(dice, "bloom", ['"evening only"', '"never in bloom"', '"no bee wording"'])
    for crop in dice.sample(crops, dice.randint(1, len(crops))):
        text += f'[shelf.crops."{crop}"]\n'
        text += _line(dice, "pre_harvest_days", [0, 1, 3, 7])
        text += _line(dice, "retreat_days", [5, 7, 10])
        text += _line(dice, "season_max", [1, 2, 6])
        text += _line(dice, "rate_ml_per_l", [5, 20])
        text += _line(dice, "max_l_per_m2", [0.2])
        text += _line(dice, "plant_back_days", [30])
    return text


def _rules(dice: random.Random) -> str:
    days = dice.sample(["mon", "tue", "wed", "thu", "fri", "sat", "sun"], dice.randint(1, 4))
    rules = f"[visiting]\ndays = {days}\nminutes = {dice.choice([20, 60, 120])}\n"
    rules += f"arrive = {dice.choice(['07:30:00', '18:30:00', '20:00:00'])}\n[garden]\n"
    rules += "no_sprays = true\n" if dice.random() < 0.1 else ""
    rules += "organic_only = true\n" if dice.random() < 0.2 else ""
    rules += "gate_closes = 21:00:00\n" if dice.random() < 0.3 else ""
    rules += f"bloom_near = {dice.choice(['true', 'false'])}\n" if dice.random() < 0.7 else ""
    rules += f"[water]\ncans_a_visit = {dice.randint(0, 10)}\n"
    packets = dice.sample(["chard", "kale", "radish", "lettuce", "dwarf bean"], dice.randint(0, 3))
    tin = "".join(f'[[tin.packet]]\ncrop = "{crop}"\nseeds = 30\n' for crop in packets)
    return rules + tin


def entries(dice: random.Random, today: date, keys: list[str], shelf: list[str]) -> list[Payload]:
    """What the grower logged in the last days."""
    found: list[Payload] = []
    for key in keys:
        counts = tuple(dice.choice([0, 0, 1, 5, 40]) for _ in range(10))
        organism = dice.choice(["whitefly", "silverleaf whitefly", "powdery mildew", "aphids"])
        if organism == "powdery mildew":
            found.append(
                Sighting(key, organism, "severity", "", "top", 10, percent=dice.uniform(0, 30))
            )
        elif dice.random() < 0.7:
            found.append(Sighting(key, organism, "count", "nymph", "underside", 10, counts))
        if dice.random() < 0.4:
            found.append(Picking(key, dice.uniform(0.1, 2.0)))
        if shelf and dice.random() < 0.3:
            found.append(Treatment((key,), "", dice.choice(shelf)))
        if dice.random() < 0.5:
            found.append(Watering(dice.uniform(5, 40), planting=key))
    return found


def throw(seed: int, folder: Path) -> date:
    """Set one random plot up in a folder, and give the day to plan for."""
    dice = random.Random(seed)
    today = date(dice.randint(1999, 2016), 7, 1) + timedelta(days=dice.randint(0, 100))
    text = plot_file(dice, today)
    folder.joinpath("plot.toml").write_text(text)
    began = datetime.combine(today - timedelta(days=30), datetime.min.time()).replace(hour=8)
    start(folder, began.astimezone())
    take(folder, WEATHER, at=began.astimezone())
    keys = [f"p{n}" for n in range(text.count("[[planting]]"))]
    shelf = [f"product{n}" for n in range(text.count("[[shelf]]"))]
    for payload in entries(dice, today, keys, shelf):
        at = datetime.combine(today - timedelta(days=dice.randint(1, 6)), datetime.min.time())
        log(folder, payload, at.replace(hour=19))
    return today
