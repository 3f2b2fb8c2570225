"""Sentences stay sentences, whatever a file holds."""

import pytest

from palette.errors import InputError


def test_line_breaks_and_marks_nobody_sees_are_written_out():
    fault = InputError("wall.toml", '"64 mm\nx\u202e\0\ud800" is not a length', "write it like 64 mm")
    assert str(fault) == r'wall.toml: "64 mm\nx\u202e\x00\ud800" is not a length; write it like 64 mm.'


def test_a_part_too_long_to_read_loses_its_middle():
    fault = InputError("wall.toml", f'"first{"x" * 10_000}last" is not a length', "write it shorter")
    assert fault.what.startswith('"firstxxx')
    assert " … " in fault.what
    assert fault.what.endswith('xxxlast" is not a length')
    assert len(str(fault)) < 600


def test_letters_of_other_scripts_stay_as_they_are():
    assert str(InputError("mur.toml", "« dalle n° 3 » 石", "é")) == "mur.toml: « dalle n° 3 » 石; é."


def test_a_file_of_many_faults_tells_the_first_hundred_and_how_many_more():
    faults = [InputError("wall.svg", f"fault {k}", "mend it") for k in range(1350)]
    with pytest.raises(InputError) as stop:
        InputError.gather(faults)
    assert len(stop.value.each()) == 1350
    told = str(stop.value).splitlines()
    assert told[99] == "wall.svg: fault 99; mend it."
    assert told[100:] == ["1,250 more faults are not listed; mend these first."]
