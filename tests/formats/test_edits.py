"""Edits in place: what an edit does not mean to change stays as its author wrote it."""

from __future__ import annotations

import copy
import re
import string
import tomllib

from hypothesis import given, settings
from hypothesis import strategies as st

from palette.page.documents import add_table, change_table, drop_table, set_brief_entry

WORD = st.text(string.ascii_lowercase, min_size=1, max_size=6)
PLAIN = st.one_of(
    st.booleans(),
    st.integers(-99, 99),
    st.sampled_from([0.5, 2.25, -1.0]),
    st.text("abc #\"'=[]\\é", max_size=8),
    st.lists(st.integers(0, 9), max_size=3),
)


def as_toml(value) -> str:
    """Return a value as TOML writes it, by hand."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'
    if isinstance(value, list):
        return "[" + ", ".join(map(as_toml, value)) + "]"
    return repr(value)


@st.composite
def briefs(draw):
    """Return the text of a brief somebody wrote in a style of their own, and its comments."""
    lines: list[str] = []
    comments: list[str] = []

    def comment(end: str = "") -> str:
        if not draw(st.booleans()):
            return end
        comments.append(f"# note {len(comments)} = [[rule]] \"'")
        return f"{end}  {comments[-1]}" if end else comments[-1]

    def entries(keys) -> None:
        for key in keys:
            space = draw(st.sampled_from(["", " ", "   "]))
            lines.append(comment(f"{key}{space}={space}{as_toml(draw(PLAIN))}"))
            if draw(st.booleans()):
                lines.append(comment())

    def keys(own):
        return draw(
            st.permutations(
                [*own, *(f"zq{word}" for word in draw(st.lists(WORD, unique=True, max_size=3)))]
            )
        )

    lines.append(comment())
    entries(keys(["name", "paints", "seed"]))
    for _ in range(draw(st.integers(0, 3))):
        lines += ["", comment("[[rule]]")]
        entries(keys(["kind", "bands"]))
    if draw(st.booleans()):
        lines += ["", comment("[neighbours]")]
        entries(keys(["reach"]))
    # A file may end with or without a line end.
    return "\n".join(lines) + draw(st.sampled_from(["", "\n", "\n\n"])), comments


EDIT = st.one_of(
    st.tuples(
        st.just("change"), st.integers(0, 3), st.sampled_from(["kind", "bands", "light"]), st.none() | PLAIN
    ),
    st.tuples(st.just("add"), st.dictionaries(WORD, PLAIN, min_size=1, max_size=3)),
    st.tuples(st.just("entry"), st.sampled_from(["name", "seed", "lights"]), st.none() | PLAIN),
    st.tuples(st.just("drop"), st.integers(0, 3)),
)


def edit(files, model, change):
    """Make one change in the files and in plain values; leave out what cannot be done."""
    rules = model.get("rule", [])
    what, *more = change
    if what == "change" and more[0] < len(rules):
        place, key, value = more
        if value is None:
            rules[place].pop(key, None)
        else:
            rules[place][key] = value
        return change_table(files, "rule", place, {key: value})
    if what == "add":
        model.setdefault("rule", []).append(dict(more[0]))
        return add_table(files, "rule", more[0])
    if what == "entry":
        key, value = more
        if value is None:
            model.pop(key, None)
        else:
            model[key] = value
        return set_brief_entry(files, key, value)
    if what == "drop" and more[0] < len(rules):
        del rules[more[0]]
        if not rules:
            del model["rule"]
        return drop_table(files, "rule", more[0])
    return files


@settings(max_examples=60, deadline=None)
@given(brief=briefs(), changes=st.lists(EDIT, min_size=1, max_size=6))
def test_an_edit_changes_what_it_means_and_nothing_else(brief, changes):
    text, comments = brief
    files = {"brief.toml": text.encode()}
    model = tomllib.loads(text)
    before = copy.deepcopy(model)
    for change in changes:
        files = edit(files, model, change)
    after = files["brief.toml"].decode()
    # Read by the standard library, not by the one that wrote it.
    assert tomllib.loads(after) == model
    if any(change[0] == "drop" or change[-1] is None for change in changes):
        # With a key or a table its own comment goes, and what comes back stands elsewhere.
        return
    assert re.findall(r"# note \d+ = \[\[rule\]\] \"'", after) == comments
    assert [key for key in tomllib.loads(after) if key in before] == list(before)
    for old, new in zip(before.get("rule", ()), tomllib.loads(after).get("rule", ()), strict=False):
        assert [key for key in new if key in old] == list(old)


@settings(max_examples=60, deadline=None)
@given(brief=briefs())
def test_an_edit_taken_back_leaves_every_byte(brief):
    text, _ = brief
    files = {"brief.toml": text.encode()}
    rules = tomllib.loads(text).get("rule", [])
    for place, rule in enumerate(rules):
        for key in ("kind", "bands"):
            there = change_table(files, "rule", place, {key: "something else"})
            assert (
                change_table(there, "rule", place, {key: rule[key]})["brief.toml"].decode().split()
                == text.split()
            )
