"""What values show of themselves through IPython's own display formatter."""

from __future__ import annotations

import io
import subprocess
import sys
from html.parser import HTMLParser

import pytest
from IPython.core.interactiveshell import InteractiveShell
from PIL import Image

import palette
from palette.notebook import tell_formatter
from palette.notebook.telling import SERIES_BY, SHOWN_BY
from tests.conftest import CANYON

MOST_STORED = 60_000
"""Letters a picture may take in a notebook, where it is written in base 64: four for three bytes."""

VOID = {"br", "hr", "img", "meta", "link", "input", "col", "wbr"}
"""Elements without an end tag (HTML living standard, section 13.1.2)."""

PLAIN = {"div", "p", "strong", "ul", "li", "table", "thead", "tbody", "tr", "th", "td", "span"}
"""Elements that hold text and nothing that acts."""

HOSTILE = '<img src=x onerror="alert(1)"> & <b>bold</b>'


class Page(HTMLParser):
    """Collect elements and text, and see that every element is closed in turn."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.seen: set[str] = set()
        self.text = ""

    def handle_starttag(self, tag, attrs):
        self.seen.add(tag)
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open, f"</{tag}> closes nothing"
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.text += data


def read_page(markup: str) -> Page:
    page = Page()
    page.feed(markup)
    page.close()
    assert page.open == []
    return page


@pytest.fixture(scope="module")
def show():
    """Return a function that gives what a notebook gets of a value: data and notes by MIME type."""
    formatter = InteractiveShell().display_formatter
    tell_formatter(formatter)
    return formatter.format


@pytest.fixture(scope="module")
def reading(canyon_outcome):
    brief = canyon_outcome.brief
    corners = palette.parse_corners((CANYON / "corners.txt").read_text())
    photo = palette.read_photo(CANYON / "painted.jpg")
    return palette.read_panel(
        photo, brief.lights[0], paints=brief.paints, corners=corners, layout=brief.panel
    )


@pytest.fixture(scope="module")
def plan(canyon_outcome):
    return palette.plan_outcomes([canyon_outcome], plan_file=CANYON / "plan.toml")


@pytest.fixture(scope="module")
def collision(canyon_outcome):
    greedy = palette.change_rules(
        canyon_outcome.brief,
        '[[rule]]\nkind = "clash"\nmin_difference = 45\n[[rule]]\nkind = "depth"\nby = "order"\n',
    )
    with pytest.raises(palette.NoScheme) as stop:
        palette.run(greedy)
    return palette.explain_collision(greedy, stop.value)


@pytest.fixture(scope="module")
def values(canyon_outcome, reading, plan, collision):
    """Return one value of every kind that shows itself, by the name of its type, and series of them."""
    brief, scheme, survey = canyon_outcome.brief, canyon_outcome.scheme, canyon_outcome.survey
    _, choices = palette.choose_schemes(brief, 2)
    _, finished = palette.finish_started(brief, palette.Scheme(paint_of={"cap west": "thistle violet"}))
    owned = [paint.id for paint in brief.paints[:-1]]
    purchases = palette.advise_purchase(survey, brief.rules, owned)
    wish = palette.LampWish(mean_w_m2=0.5, evenness=0.2, most=2)
    placing = palette.place_lamps(plan.lamps.lamps[0], wish, 2438.4, 1828.8)
    swatches = palette.SwatchReading(
        names=("moss", HOSTILE), daylight=survey.appearance.lab[:2, 0], blacklight=None, warnings=("Dark.",)
    )
    broken = palette.judge(brief, scheme.with_paint("heart", "chalk white")).verdict
    certificate = palette.certify_brief(brief, scheme)
    pairs = palette.study_paints(brief.paints, brief.lights).lookalikes
    single = [
        brief.panel, survey.adjacency, survey, brief, canyon_outcome, scheme, scheme.proof,
        canyon_outcome.verdict, palette.measure_merits(survey, scheme), choices[0], finished, purchases[0],
        collision, collision.ways_out[0], brief.paints[0], palette.study_paints(brief.paints, brief.lights),
        brief.lights[1], plan, plan.lamps.light, plan.lamps.lamps[0], plan.lamps.exposures[0], placing,
        reading.photo, reading, palette.judge_reading(reading),
        palette.compare_with_scheme(reading, scheme), swatches, survey.appearance, broken.breaches[0],
        plan.lamps, palette.draw_change_of(canyon_outcome, width_px=300), certificate, pairs[0],
        palette.find_corners(reading.photo),
    ]  # fmt: skip
    series = [choices, purchases, collision.ways_out, brief.paints, list(brief.lights), plan.lamps.lamps,
              plan.lamps.exposures, broken.breaches, pairs]  # fmt: skip
    return {type_name(value): value for value in single}, {type_name(each[0]): each for each in series}


def type_name(value):
    return f"{type(value).__module__}.{type(value).__qualname__}"


def check_shown(data, notes):
    """Check what is shown: words, and one picture or some markup, each small and sound."""
    kinds = set(data) - {"text/plain"}
    assert len(kinds) == 1
    (kind,) = kinds
    if kind == "text/html":
        page = read_page(data[kind])
        assert page.seen <= PLAIN
        assert page.text.strip()
        assert len(data[kind]) < MOST_STORED
    else:
        assert kind in {"image/png", "image/jpeg"}
        assert len(data[kind]) * 4 / 3 < MOST_STORED
        picture = Image.open(io.BytesIO(data[kind]))
        picture.load()
        assert min(picture.size) >= 100
        assert len(picture.convert("RGB").getcolors(2**24)) > 2
        assert notes[kind]["alt"]


@pytest.mark.parametrize("name", sorted(SHOWN_BY))
def test_every_type_shows_itself(name, show, values):
    data, notes = show(values[0][name])
    check_shown(data, notes)
    words = data["text/plain"]
    assert words.strip()
    assert "\n" not in words
    # A dataclass's own repr would begin so, and hold every outline.
    assert not words.startswith(f"{name.rpartition('.')[2]}(")
    assert len(words) < 500


@pytest.mark.parametrize("name", sorted(SERIES_BY))
@pytest.mark.parametrize("kind", [tuple, list])
def test_a_series_of_one_type_shows_itself_as_a_whole(name, kind, show, values):
    data, notes = show(kind(values[1][name]))
    check_shown(data, notes)


@pytest.mark.parametrize("series", [(1, 2), [], (), ["a"], (1, "a")])
def test_other_series_show_as_ever(series, show):
    plain = InteractiveShell().display_formatter.format(series)
    assert show(series) == plain


def test_a_mixed_series_shows_as_words(show, values):
    one = values[0]
    data, _ = show((one["palette.paint.Paint"], one["palette.light.Light"]))
    assert set(data) == {"text/plain"}


def test_a_kind_of_tuple_that_shows_itself_keeps_its_own_way(show):
    class Own(tuple):
        def _repr_mimebundle_(self, include=None, exclude=None):
            return {"text/html": "<p>own</p>"}

    data, _ = show(Own((1, 2)))
    assert data["text/html"] == "<p>own</p>"


def test_names_are_shown_as_text(show, canyon_outcome):
    scheme = palette.Scheme(paint_of={HOSTILE: "moss", "heart": HOSTILE})
    page = read_page(show(scheme)[0]["text/html"])
    assert page.text.count(HOSTILE) == 2
    assert not page.seen & {"img", "b"}


def test_every_section_is_named_in_the_words_of_a_panel(show, canyon_outcome):
    panel = canyon_outcome.brief.panel
    data, notes = show(panel)
    assert all(name in data["text/plain"] for name in panel.ids)
    assert notes["image/png"]["alt"] == data["text/plain"]


def test_a_scheme_lists_every_section_once(show, canyon_outcome):
    page = read_page(show(canyon_outcome.scheme)[0]["text/html"])
    assert all(name in page.text for name in canyon_outcome.scheme.paint_of)


def test_a_broken_scheme_says_where(show, canyon_outcome):
    changed = canyon_outcome.scheme.with_paint("heart", "chalk white")
    verdict = palette.judge(canyon_outcome.brief, changed).verdict
    page = read_page(show(verdict)[0]["text/html"])
    assert "Rules are broken in 2 places." in page.text
    assert all(breach.sentence in page.text for breach in verdict.breaches)


def test_a_paint_known_by_one_swatch_is_shown_by_that_one(show):
    paint = palette.parse_paints('[[paint]]\nname = "moss"\nswatch = { daylight = "#38d64e" }')[0]
    data, _ = show(paint)
    assert "#38d64e" in data["text/html"]
    page = read_page(show((paint, paint))[0]["text/html"])
    assert page.text.count("not known") == 2


def test_a_preview_is_small_and_to_look_at(show, canyon_outcome):
    preview = palette.draw_under(canyon_outcome, "blacklight", width_px=1800)
    data, notes = show(preview)
    check_shown(data, notes)
    (kind,) = set(data) - {"text/plain"}
    assert 900 <= Image.open(io.BytesIO(data[kind])).width <= 1000


def test_a_terminal_gets_words_only(canyon_outcome):
    formatter = InteractiveShell().display_formatter
    formatter.active_types = ["text/plain"]
    tell_formatter(formatter)
    data, _ = formatter.format(canyon_outcome.brief.panel)
    assert set(data) == {"text/plain"}
    assert data["text/plain"].startswith('Panel "North wall"')


def test_an_error_shows_its_sentence_alone():
    fault = palette.InputError("wall.svg", "there is no such file", "check the name")
    shell = InteractiveShell()
    told = []
    shell._showtraceback = lambda kind, value, lines: told.extend(lines)
    try:
        raise fault
    except palette.InputError:
        shell.showtraceback()
    assert told == ["wall.svg: there is no such file; check the name."]


def run_python(script: str) -> str:
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    return ran.stdout.strip()


def test_outside_a_notebook_nothing_of_it_is_loaded():
    script = (
        "import sys, palette; print([n for n in sys.modules if 'IPython' in n or 'palette.notebook' in n])"
    )
    assert run_python(script) == "[]"


def test_in_a_notebook_importing_palette_is_enough_and_loads_nothing_heavy():
    script = (
        "import sys\n"
        "from IPython.core.interactiveshell import InteractiveShell\n"
        "shell = InteractiveShell.instance()\n"
        "before = set(sys.modules)\n"
        "import palette\n"
        "print(sorted({'numpy', 'shapely', 'matplotlib', 'PIL'} & (set(sys.modules) - before)))\n"
        'text = \'[[paint]]\\nname = "moss"\\nswatch = { daylight = "#38d64e" }\'\n'
        "moss = palette.parse_paints(text)[0]\n"
        "print(shell.display_formatter.format(moss)[0]['text/plain'])\n"
    )
    assert run_python(script).splitlines() == ["[]", 'Paint "moss", swatches only, 2 coats']
