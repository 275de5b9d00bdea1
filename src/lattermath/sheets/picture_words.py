"""The words of printed pictures that the pages have not."""

from __future__ import annotations

PLOT = "{plot} to scale"
SEASON = "The season of {plot}"
BAR = "Printed at 100 %, this bar is 100 mm long. Lay a ruler on it."
SCALE = "1 to {scale}."
WHERE = "lattermath print plot"
NO_SHAPE_REMEDY = "Write it in other letters, or look at the page of `lattermath serve`."
PDF_ONLY = "this is printed as PDF only"
PDF_ONLY_REMEDY = "Name a file that ends in .pdf; `lattermath serve` shows it as a page."
NO_CHARTS = "There is nothing to draw of the season yet."
