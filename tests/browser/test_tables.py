"""Tables of calls in a real JupyterLab, on usual windows: no line breaks within a word, or between a number and its
unit, and nothing reaches over the edge.
"""

import pytest

pytestmark = pytest.mark.browser

CALLS = (
    "import mechbench as mb\nmb.size('drivetrain', mass='11 kg', system='us')",
    "mb.size('gripper', squeeze='8 N')",
    "mb.size('robot')",
    "mb.find('arm', 'motor,gearbox,spring', payload='0.5 kg', system='us')",
    "mb.find('winch', 'gearbox,spool,ratchet,falls', lift_height=['60 mm', '80 mm'], time_wanted='4 s')",
    "mb.sweep('arm', payload='0.2..0.8 kg', steps=4)",
    "mb.inputs('intake')",
    "mb.most('arm', 'payload', system='us')",
    "mb.find('arm', 'length,motor')",
    "mb.against('drivetrain', gearbox=['planetary_16', 'planetary_21'], mass='11 kg')",
)
WINDOWS = [(1280, 800), (1366, 768)]

# Pieces between blanks that stand on more than one line; a blank that does not break belongs to a piece. Hyphens may
# break.
PARTED = """
const found = [];
for (const cell of document.querySelectorAll('.jp-OutputArea-output td, .jp-OutputArea-output th')) {
  const walker = document.createTreeWalker(cell, NodeFilter.SHOW_TEXT);
  for (let node; (node = walker.nextNode());)
    for (const piece of node.data.matchAll(/[^ \\n\\t-]+/g)) {
      const range = document.createRange();
      range.setStart(node, piece.index);
      range.setEnd(node, piece.index + piece[0].length);
      if (new Set([...range.getClientRects()].map(r => Math.round(r.top))).size > 1) found.push(piece[0]);
    }
}
return found;"""
OVER = """return [...document.querySelectorAll('.jp-OutputArea-output table')].filter(
    t => t.getBoundingClientRect().right > t.closest('.jp-OutputArea-output').getBoundingClientRect().right + 1
).map(t => t.innerText.slice(0, 60))"""
COUNT = "return document.querySelectorAll('.jp-OutputArea-output td').length"


@pytest.mark.parametrize("size", WINDOWS, ids=lambda size: str(size[0]))
def test_no_word_and_no_number_is_parted(notebook, lab, size):
    page = notebook(*CALLS, name="tables.ipynb")
    page.run_all()
    lab.resize(*size)
    cells = []
    try:
        for number in range(1, len(CALLS) + 1):
            page.show(f"cell-{number}")
            lab.wait(lambda: lab.js(COUNT) > 10, "tables")
            assert lab.js(PARTED) == [] and lab.js(OVER) == []
            cells.append(lab.js(COUNT))
        assert page.errors() == [] and max(cells) > 50
        print(f"{size[0]} px: {max(cells)} cells of tables at once")
    finally:
        lab.resize(1280, 800)
