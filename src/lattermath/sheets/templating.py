"""The templates of pages, filled in; anything from a grower is escaped."""

from __future__ import annotations

from contextvars import ContextVar
from functools import cache
from importlib.resources import files
from typing import Any

from lattermath.sheets import page_words, phone_words, set_up_words, weather_words
from lattermath.sheets import wording as w
from lattermath.sheets.page_instead import on_a_page
from lattermath.sheets.plot_drawing import plot_svg, swatch_svg, way_swatch_svg
from lattermath.vocabulary.errors import Fault, InputError

# What every form of the page now being made brings back; whoever serves pages sets it.
page_token: ContextVar[str] = ContextVar("page_token", default="")


def render(name: str, **told: Any) -> str:
    """Fill in the template of that name. InputError where the web extra is not installed."""
    return str(environment().get_template(name).render(**told))


@cache
def environment() -> Any:
    """The template engine; `w` words of the sheet, `p` of the pages, `h` of phones in the house,
    `u` of setting up, `y` of weather files."""
    try:
        import jinja2
    except ImportError as missing:
        raise InputError(
            Fault(w.NO_JINJA, "lattermath plan --html", "", w.NO_JINJA_REMEDY)
        ) from missing
    made = jinja2.Environment(
        loader=jinja2.FunctionLoader(_source),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=jinja2.StrictUndefined,
        finalize=_told,
    )
    made.globals.update(
        w=w, p=page_words, h=phone_words, u=set_up_words, y=weather_words, token_field=_token_field
    )
    made.filters.update(plot_svg=plot_svg, swatch_svg=swatch_svg, way_swatch_svg=way_swatch_svg)
    return made


def _told(value: Any) -> Any:
    """What is filled in: plain words point to pages, not to commands; markup stays as it is."""
    return on_a_page(value) if type(value) is str else value


def template_text(name: str) -> str:
    """The text of a file beside the templates; FileNotFoundError where there is none."""
    return (files("lattermath.sheets") / "templates").joinpath(name).read_text(encoding="utf-8")


def _source(name: str) -> str | None:
    try:
        return template_text(name)
    except FileNotFoundError:
        return None


def _token_field() -> Any:
    """The field of a form that says it is of a page of our own."""
    import markupsafe

    field = markupsafe.Markup('<input type="hidden" name="token" value="{}">')
    return field.format(page_token.get())
