"""What was named becomes jobs: files, folders, patterns, lists."""

from __future__ import annotations

from pathlib import Path

import pytest

import palette
from palette.batch.finding import name_folders
from palette.errors import InputError
from tests.batch.conftest import RULES, SHARED, wall_svg


def ids(jobs):
    return [job.id for job in jobs]


def test_a_folder_is_searched_for_briefs_and_nothing_else_in_it_is_one(hall):
    for name in ("attic", "cellar"):
        (hall / name).mkdir()
        (hall / name / "brief.toml").write_text('panel = "../walls/north.svg"\n' + SHARED)
        (hall / name / "plan.toml").write_text("[paper]\n")
    (hall / "rules.toml").write_text(RULES)
    (hall / "run.toml").write_text('panels = ["a.svg"]\n')
    (hall / "broken.toml").write_text("panel = \n")
    (hall / ".old").mkdir()
    (hall / ".old" / "brief.toml").write_text('panel = "x.svg"\n')
    # A brief without a panel is one all the same, so that its author hears of it.
    assert ids(palette.list_briefs([hall])) == ["broken", "hall", "run", "attic", "cellar"]


def test_a_folder_is_searched_for_layouts(hall):
    (hall / "walls" / "gate.toml").write_text('size = "8 ft x 6 ft"\n[[section]]\nname = "a"\n')
    (hall / "walls" / "notes.png").write_bytes(b"")
    jobs = palette.list_layouts([hall / "walls"], hall / "hall.toml")
    assert ids(jobs) == ["east", "gate", "north", "south", "west"]


def test_answers_of_an_earlier_batch_are_no_layouts(hall):
    small = palette.AssignOptions(width_px=300)
    first = palette.list_layouts([hall / "walls" / "north.svg"], hall / "hall.toml", options=small)
    out = hall / "walls" / "out"
    batch = palette.run_batch(first, out, workers=1)
    palette.save_batch(batch)
    (out / "north" / "panel.svg").write_text(wall_svg("Found again"))
    (out / "stray.svg").write_text(wall_svg("Found again"))
    assert ids(palette.list_layouts([hall / "walls"], hall / "hall.toml")) == [
        "east",
        "north",
        "south",
        "west",
    ]


def test_patterns_are_followed_where_the_shell_leaves_them(hall):
    jobs = palette.list_layouts([Path("walls/*th.svg")], Path("hall.toml"))
    assert ids(jobs) == ["north", "south"]


def test_a_file_named_twice_is_one_job(hall):
    named = [Path("walls/north.svg"), hall / "walls" / "north.svg", Path("walls")]
    assert ids(palette.list_layouts(named, Path("hall.toml"))) == ["north", "east", "south", "west"]


@pytest.mark.parametrize(
    ("named", "told"),
    [
        ([], "batch: no layout is named"),
        (["empty"], "empty: there is no layout in it"),
        (["walls/*.dxf"], "walls/\\*.dxf: no file is called so"),
    ],
)
def test_nothing_to_do_is_told(hall, named, told):
    (hall / "empty").mkdir()
    with pytest.raises(InputError, match=told):
        palette.list_layouts([Path(name) for name in named], Path("hall.toml"))


def test_folders_are_named_after_files_and_never_alike():
    names = name_folders(
        [
            Path("/halls/north/brief.toml"),
            Path("/halls/south/brief.toml"),
            Path("/halls/south/Arch.toml"),
            Path("/halls/south/arch.svg"),
            Path("/other/south/arch.svg"),
            Path("/a/" + "long " * 40 + ".svg"),
            Path("/a/../..svg"),
            Path("/a/Tür 3: offen?.svg"),
        ]
    )
    assert names[:3] == ["north", "south", "south-Arch.toml"]
    assert len({name.casefold() for name in names}) == len(names)
    assert all(0 < len(name) <= 90 for name in names)
    # None of the characters that Windows refuses in a name (Microsoft, "Naming Files, Paths").
    assert not [name for name in names if set(name) & set('<>:"/\\|?*')]
    assert names[7] == "Tür-3-offen"


def test_two_jobs_in_one_folder_are_refused(hall):
    options = palette.AssignOptions()
    jobs = [
        palette.BriefJob(id=name, brief=hall / "hall.toml", options=options) for name in ("Arch", "arch")
    ]
    with pytest.raises(InputError, match="give it another name"):
        palette.run_batch(jobs, hall / "out", workers=1)


def known(**said):
    return palette.PhotoRequest(photo=Path(), **said)


def test_a_list_says_for_each_photo_what_differs(hall):
    (hall / "photos").mkdir()
    (hall / "photos" / "list.toml").write_text(
        'version = 1\nlight = "blacklight"\nsize = "1 m x 2 m"\npaints = "../paints.toml"\n'
        '[[job]]\nphoto = "a.jpg"\n'
        '[[job]]\nphoto = "b.jpg"\nname = "Arch, by day"\nlight = "daylight"\nsize = "3 ft x 4 ft"\n'
        'corners = "1,2 3,4 5,6 7,8"\ndepth = true\nlayout = "b.svg"\nlabels = "b.png"\n'
    )
    first, second = palette.list_photos([hall / "photos" / "list.toml"], known=known(depth=False))
    assert (first.id, second.id, second.name) == ("a", "Arch-by-day", "Arch, by day")
    assert (first.request.light, first.request.size_mm) == ("blacklight", (1000.0, 2000.0))
    # 1 ft = 304.8 mm (NIST SP 811, appendix B).
    assert (second.request.light, second.request.size_mm) == ("daylight", pytest.approx((914.4, 1219.2)))
    assert second.request.corners.tolist() == [[1, 2], [3, 4], [5, 6], [7, 8]]
    assert (first.request.depth, second.request.depth) == (False, True)
    assert second.request.labels == hall / "photos" / "b.png"
    assert second.request.layout == hall / "photos" / "b.svg"
    assert first.request.paints.resolve() == hall / "paints.toml"


def test_all_faults_of_a_list_are_told_at_once(hall):
    (hall / "list.toml").write_text(
        '[[job]]\nphoto = "a.jpg"\nlight = "moonlight"\n[[job]]\nphoto = "b.jpg"\nsize = "wide"\n'
        '[[job]]\nfoto = "c.jpg"\n[[job]]\nphoto = "d.jpg"\ndepth = "yes"\n'
    )
    with pytest.raises(InputError) as stop:
        palette.list_photos([hall / "list.toml"], known=known())
    told = str(stop.value).splitlines()
    assert [line.split(":")[0].split(", ")[1] for line in told] == ["job 1", "job 2", "job 3", "job 4"]
    assert 'write "photo" if that was meant' in told[2]


def test_photos_of_a_folder_are_found_by_their_kind(hall):
    (hall / "photos").mkdir()
    for name in ("b.JPG", "a.heic", "notes.txt", ".hidden.jpg", "c.jpeg", "list.toml"):
        (hall / "photos" / name).write_bytes(b"")
    assert ids(palette.list_photos([hall / "photos"], known=known())) == ["a", "b", "c"]
