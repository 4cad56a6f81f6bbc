"""Every lesson's bench on a low screen, with the list of files closed: what the text before it names is seen at once.

1366 by 768 pixels is a common small laptop's screen (common practice, no source). With the picture and its own sliders
at the bottom of the window, all sliders and lists that the bench opens with and the row of Play are in the window, too.
"""

import json
from pathlib import Path

import pytest

pytestmark = pytest.mark.browser

SOURCES = Path(__file__).parents[2] / "solutions"
ROLES = ("-ask", "-answer", "-search")  # cells of exercises, whose benches nobody slides

BOTTOM = """let part = [...arguments[0].querySelectorAll('.mb-seen :is(.mb-picture, .mechbench-control)')]
    .filter(e => e.getClientRects().length).at(-1); part.scrollIntoView({block: 'end'})"""
# Top and bottom of the window's part for the notebook, and of all that is to be seen in it.
PLACES = """
let view = arguments[0].querySelector('.mechbench'), seen = e => e.getClientRects().length;
let place = e => { let r = e.getBoundingClientRect(); return [e.innerText.trim().split('\\n')[0], r.top, r.bottom] };
let frame = document.querySelector('.jp-WindowedPanel-outer');
let parts = '.mechbench-control, .mb-picture, .mb-seen > .mb-row';
return [place(frame), ...[...view.querySelectorAll(parts)].filter(seen).map(place)];
"""
READY = """return [...arguments[0].querySelectorAll('.mb-picture')].some(
    e => e.getClientRects().length && e.complete && e.naturalWidth)"""


def benches():
    """Cells with benches of all lessons, as (id, code)."""
    for path in sorted(SOURCES.glob("[0-9]*.ipynb")):
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            code = "".join(cell["source"])
            if cell["cell_type"] == "code" and "mb.bench(" in code and not cell["id"].endswith(ROLES):
                yield cell["id"], code


def test_sliders_play_and_picture_are_seen_together(notebook, lab):
    names, codes = zip(*benches())
    assert len(names) >= 14
    page = notebook("import mechbench as mb", *codes, name="room.ipynb")
    lab.resize(1366, 768)
    lab.side_panel(False)
    try:
        page.run_all()
        hidden = {}
        for place, name in enumerate(names, start=2):
            cell = page.show(f"cell-{place}")
            lab.wait(lambda cell=cell: lab.js(READY, cell), f"picture of {name}")
            lab.js(BOTTOM, cell)
            (_, top, bottom), *parts = lab.js(PLACES, cell)
            assert len(parts) >= 4, name
            out = [(said, low, high) for said, low, high in parts if low < top - 1 or high > bottom + 1]
            if out:
                hidden[name] = (top, bottom, out)
        assert hidden == {}
    finally:
        lab.side_panel(True)
