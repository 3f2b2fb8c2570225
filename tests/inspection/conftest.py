"""One photographed panel, read once for all tests here."""

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tracing"))

import scenes
from scoring import paints_of, read_scene


@pytest.fixture(scope="session")
def day_scene():
    return scenes.render(3, kind="stones", faults=scenes.Faults(light_ratio=1.5))


@pytest.fixture(scope="session")
def day_reading(day_scene):
    return read_scene(day_scene)


@pytest.fixture(scope="session")
def shelf():
    return paints_of(scenes.PAINTS)


@pytest.fixture
def true_layout(day_scene):
    """The scene's panel as its painter would have drawn it, and the paint of each section."""
    from palette.panel import Panel, Section

    width, height = day_scene.size_mm
    sections = tuple(
        Section(id=f"stone {k}", outline=outline) for k, outline in enumerate(day_scene.sections, 1)
    )
    panel = Panel(name="canyon", width_mm=width, height_mm=height, sections=sections)
    return panel, {f"stone {k}": paint for k, paint in enumerate(day_scene.paints, 1)}


@pytest.fixture(scope="session")
def paint_file(tmp_path_factory):
    """The invented paints as a paint file with Lab swatches (CIE 15:2004, against D65)."""
    from skimage.color import xyz2lab

    lines = []
    matrix = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
    for name, looks in scenes.PAINTS.items():
        day, night = (xyz2lab(matrix @ np.array(look)) for look in looks)
        told = ", ".join(
            f"{light} = [{', '.join(f'{v:.2f}' for v in lab)}]"
            for light, lab in (("daylight", day), ("blacklight", night))
        )
        lines.append(f'[[paint]]\nname = "{name}"\nswatch = {{ {told} }}\n')
    path = tmp_path_factory.mktemp("shelf") / "paints.toml"
    path.write_text("\n".join(lines))
    return path
